// SPDX-License-Identifier: Apache-2.0
#include "tools/rehearse/play/play_list.hpp"

#include <system_error>

#include "tools/rehearse/play/played_stream.hpp"

namespace mastline {

PlayList::PlayList(const std::vector<PlayRequest>& requests, Findings& findings) {
    const auto refuse = [&](const PlayRequest& request, std::string id, std::string what) {
        findings.push_back({Severity::error,
                            std::move(id),
                            "--play " + request.file,
                            std::move(what),
                            {},
                            {},
                            {}});
    };
    for (const auto& request : requests) {
        try {
            auto file = std::make_unique<MappedFile>(request.file);
            auto index = index_stream(file->bytes());
            if (index)
                plays_[request.flow] = {std::move(file), std::move(*index)};
            else
                refuse(request, "usage.unplayable-file", index.error());
        } catch (const std::system_error& error) {
            refuse(request, "usage.unreadable-file", error.what());
        }
    }
}

PlayedSource PlayList::source() const {
    return [this](std::size_t flow, PcrTicks start) -> std::unique_ptr<PacketSource> {
        const auto play = plays_.find(flow);
        if (play == plays_.end()) return nullptr;
        return std::make_unique<PlayedStream>(play->second.file->bytes(), play->second.index,
                                              start);
    };
}

}  // namespace mastline
