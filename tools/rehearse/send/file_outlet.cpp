// SPDX-License-Identifier: Apache-2.0
#include "tools/rehearse/send/file_outlet.hpp"

#include <algorithm>
#include <cerrno>
#include <system_error>

#include "tools/rehearse/send/system_fault.hpp"

namespace mastline {

namespace {

// Channel numbers come from the plan: nothing but letters, digits, dots and dashes names a file.
std::string file_name(const Expectation& flow) {
    std::string out = flow.channel + (flow.copy > 1 ? "-" + std::to_string(flow.copy) : "");
    std::replace_if(
        out.begin(), out.end(),
        [](char c) {
            return !((c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
                     c == '.' || c == '-');
        },
        '_');
    return out + ".ts";
}

std::filesystem::path unfinished(const std::filesystem::path& name) {
    return name.string() + ".part";
}

}  // namespace

FileOutlet::FileOutlet(const std::filesystem::path& folder, const ExpectedLineup& lineup) {
    std::filesystem::create_directories(folder);
    for (const auto& flow : lineup.flows) {
        Target target{folder / file_name(flow),
                      flow.encapsulation == Encapsulation::rtp ? kRtpHeaderSize : 0, nullptr};
        target.file.reset(std::fopen(unfinished(target.name).c_str(), "wb"));
        if (!target.file) fail(target.name.string());
        targets_.push_back(std::move(target));
    }
}

void FileOutlet::commit(Route route, std::size_t size) {
    const Target& target = targets_[route.flow];
    const ByteView packets = ByteView(slot_).first(size).subspan(target.header);
    if (std::fwrite(packets.data(), 1, packets.size(), target.file.get()) != packets.size())
        fail(target.name.string());
}

void FileOutlet::finish() {
    for (auto& target : targets_) {
        if (std::fclose(target.file.release()) != 0) fail(target.name.string());
        std::filesystem::rename(unfinished(target.name), target.name);
    }
}

}  // namespace mastline
