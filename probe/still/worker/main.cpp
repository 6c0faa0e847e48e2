// SPDX-License-Identifier: Apache-2.0
// mastline-still KIND: reads the beginning of a video elementary stream, writes its first picture
// (still_reply.hpp). Started by the other programs; people ask it for its --version.
#include <unistd.h>

#include <array>
#include <cstddef>
#include <string_view>
#include <vector>

#include "first_picture.hpp"
#include "mastline/still/still_reply.hpp"
#include "sandbox.hpp"
#include "version_text.hpp"

namespace {

using namespace mastline;

constexpr int kBehindTheWatch = 10;
constexpr std::size_t kMostInput = std::size_t{4} << 20;

std::vector<std::byte> read_all() {
    std::vector<std::byte> out;
    std::array<std::byte, 65536> buffer;
    for (;;) {
        const auto got = ::read(STDIN_FILENO, buffer.data(), buffer.size());
        if (got <= 0 || out.size() >= kMostInput) return out;
        out.insert(out.end(), buffer.begin(), buffer.begin() + got);
    }
}

bool write_all(ByteView bytes) {
    while (!bytes.empty()) {
        const auto written = ::write(STDOUT_FILENO, bytes.data(), bytes.size());
        if (written <= 0) return false;
        bytes = bytes.subspan(static_cast<std::size_t>(written));
    }
    return true;
}

ByteView bytes_of(std::string_view text) { return std::as_bytes(std::span(text)); }

std::vector<std::byte> reply_of(const SmallPicture& picture) {
    std::vector<std::byte> out;
    for (const unsigned n : {picture.width >> 8, picture.width, picture.height >> 8, picture.height}) out.push_back(static_cast<std::byte>(n));
    out.insert(out.end(), picture.rgb.begin(), picture.rgb.end());
    return out;
}

// Ends at once: what runs at an ordinary end may ask the system for more than the sandbox lets pass.
[[noreturn]] void end(StillExit status) { ::_exit(static_cast<int>(status)); }

}  // namespace

int main(int argc, char** argv) {
    if (argc != 2) end(StillExit::usage);
    if (argv[1] == std::string_view("--version")) end(write_all(bytes_of(kVersionText)) && write_all(bytes_of("\n")) ? StillExit::good : StillExit::refused);
    if (::nice(kBehindTheWatch) < 0) end(StillExit::refused);
    FirstPicture first(argv[1]);
    if (!first.good()) end(StillExit::usage);
    if (!enter_sandbox()) end(StillExit::refused);
    const auto stream = read_all();
    const auto picture = first.of(stream, Still::kMostWidth, Still::kMostHeight);
    if (picture.width == 0) end(StillExit::no_picture);
    end(write_all(reply_of(picture)) ? StillExit::good : StillExit::no_picture);
}
