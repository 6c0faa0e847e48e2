// SPDX-License-Identifier: Apache-2.0
// The files that are played instead of made streams.
#pragma once

#include <map>
#include <memory>
#include <vector>

#include "mastline/findings/finding.hpp"
#include "tools/rehearse/options.hpp"
#include "tools/rehearse/play/mapped_file.hpp"
#include "tools/rehearse/play/played_index.hpp"
#include "tools/rehearse/send/line_up.hpp"

namespace mastline {

class PlayList {
public:
    // A file that cannot be read or played becomes a finding.
    PlayList(const std::vector<PlayRequest>& requests, Findings& findings);

    // Lives no longer than this.
    PlayedSource source() const;

private:
    struct Play {
        std::unique_ptr<MappedFile> file;
        PlayedIndex index;
    };
    std::map<std::size_t, Play> plays_;  // by flow
};

}  // namespace mastline
