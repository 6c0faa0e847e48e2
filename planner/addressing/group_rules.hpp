// SPDX-License-Identifier: Apache-2.0
// What the standards say about groups that a site may or may not use.
#pragma once

#include <string>
#include <vector>

#include "mastline/findings/finding.hpp"
#include "mastline/venue/addressing_policy.hpp"

namespace mastline {

// A rule that some groups break. Groups under an error are never given out.
struct GroupRule {
    GroupSpan groups;
    Severity severity = Severity::error;
    bool hole = false;  // a small part of every honest range: passed over, not the range's fault
    std::string id;
    std::string what;   // "is ...": follows the group in a sentence
    std::string cure;
};

// Every rule that touches `span`, with the part of it that breaks the rule.
// REQUIRES: an IPv6 span has one 96-bit prefix.
std::vector<GroupRule> rules_touching(const GroupSpan& span, const AddressingPolicy& policy);

}  // namespace mastline
