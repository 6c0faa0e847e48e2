// SPDX-License-Identifier: Apache-2.0
#include "planner/addressing/range_choice.hpp"

#include "mastline/venue/picture_words.hpp"

namespace mastline {

RangeChoice tagged_ranges(const AddressingPolicy& policy, const Channel& channel) {
    RangeChoice out;
    if (policy.scheme != GroupScheme::by_tag) return out;
    for (std::size_t i = 0; i < policy.ranges.size(); ++i) {
        const auto& tag = policy.ranges[i].tag;
        if (!tag.empty() && (tag == channel.genre || picture_class_named(tag) == channel.picture)) out.push_back(i);
    }
    return out;
}

RangeChoice ranges_for(const AddressingPolicy& policy, const Channel& channel) {
    RangeChoice out = tagged_ranges(policy, channel);
    for (std::size_t i = 0; i < policy.ranges.size(); ++i)
        if (policy.scheme != GroupScheme::by_tag || policy.ranges[i].tag.empty()) out.push_back(i);
    return out;
}

std::string names_of(const RangeChoice& ranges, const AddressingPolicy& policy) {
    std::string out;
    for (const auto range : ranges) {
        const auto& r = policy.ranges[range];
        out += (out.empty() ? "" : " and ") + to_text(span_of(r)) +
               (r.tag.empty() || policy.scheme != GroupScheme::by_tag ? "" : " (" + r.tag + ")");
    }
    return out;
}

}  // namespace mastline
