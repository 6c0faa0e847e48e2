// SPDX-License-Identifier: Apache-2.0
// Each flow's transport packets into a file, in the order in which a receiver would get them.
#pragma once

#include <array>
#include <cstdio>
#include <filesystem>
#include <memory>
#include <vector>

#include "mastline/expectation/expectation.hpp"
#include "tools/rehearse/send/outlet.hpp"

namespace mastline {

class FileOutlet final : public Outlet {
public:
    // Makes the folder if need be. Throws std::system_error when a file cannot be written.
    FileOutlet(const std::filesystem::path& folder, const ExpectedLineup& lineup);

    ByteSpan slot(Route) override { return slot_; }
    void commit(Route route, std::size_t size) override;
    void flush() override {}
    // Gives the files their names: "101.ts", "101-2.ts" for the second copy of a channel.
    void finish();

private:
    struct Close {
        void operator()(std::FILE* file) const { std::fclose(file); }
    };
    struct Target {
        std::filesystem::path name;
        std::size_t header = 0;  // bytes of each datagram that are no transport packets
        std::unique_ptr<std::FILE, Close> file;
    };

    std::array<std::byte, kMostDatagram> slot_{};
    std::vector<Target> targets_;
};

}  // namespace mastline
