// SPDX-License-Identifier: Apache-2.0
// The token of a served page, chosen the same way by every program.
#pragma once

#include <optional>
#include <string>

#include "mastline/web/access.hpp"
#include "mastline/web/listen_address.hpp"
#include "mastline/web/random_text.hpp"

namespace mastline {

struct PageToken {
    std::optional<std::string> token;  // none: this machine alone is served, and asks for none
    bool made_up = false;              // nobody knows it unless it is told
    std::string fault;                 // why what was given is no token; empty: nothing is wrong
};

// That of the file (its text, ended by a line break or not), else that of MASTLINE_TOKEN (null or empty: none is given),
// else one made up where others than this machine can reach the address.
inline PageToken page_token(const std::optional<std::string>& file, const char* environment, const ListenAddress& listen) {
    PageToken out;
    if (file) {
        out.token = file->substr(0, file->find_last_not_of("\r\n") + 1);
        if (const auto fault = token_fault(*out.token); !fault.empty()) out.fault = "--token-file: " + fault;
    } else if (environment != nullptr && *environment != '\0') {
        out.token = environment;
        if (const auto fault = token_fault(*out.token); !fault.empty()) out.fault = "MASTLINE_TOKEN: " + fault;
    } else if (!is_loopback(listen.address)) {
        out.token = random_text();
        out.made_up = true;
    }
    return out;
}

}  // namespace mastline
