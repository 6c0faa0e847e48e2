// SPDX-License-Identifier: Apache-2.0
// --version against what Debian knows of the libraries, and against what the loader will ask for.
#include <catch2/catch.hpp>

#include <map>
#include <set>

#include "support/paths.hpp"
#include "support/run_command.hpp"
#include "support/temp_folder.hpp"

using namespace mastline::test;

namespace {

const std::map<std::string, std::string>& programs() {
    static const auto all = [] {
        std::map<std::string, std::string> out{{"mastline-planner", "planner/mastline-planner"},
                                               {"mastline-probe", "probe/mastline-probe"},
                                               {"mastline-rehearse", "tools/rehearse/mastline-rehearse"}};
        if (std::filesystem::exists(MASTLINE_BINARY_DIR "/probe/mastline-still")) out["mastline-still"] = "probe/mastline-still";
        return out;
    }();
    return all;
}

// A part as --version tells it.
struct Part {
    std::string version;
    std::string licence;
};

// By name, from lines "  NAME VERSION, LICENCE".
std::map<std::string, Part> parts_of(const std::string& program) {
    const auto said = run_command(MASTLINE_BINARY_DIR "/" + program + " --version");
    REQUIRE(said.status == 0);
    std::map<std::string, Part> out;
    for (auto at = said.output.find("\n  "); at != std::string::npos; at = said.output.find("\n  ", at + 1)) {
        const auto line = said.output.substr(at + 3, said.output.find('\n', at + 3) - at - 3);
        const auto comma = line.rfind(", ");
        const auto space = line.rfind(' ', comma - 1);
        out[line.substr(0, space)] = {line.substr(space + 1, comma - space - 1), line.substr(comma + 2)};
    }
    return out;
}

// Debian's package of a part, the SPDX name of its licence, and how the package's copyright file names
// that licence (a regular expression; "Expat" is Debian's name of the MIT licence).
struct Known {
    std::string package;
    std::string licence;
    std::string in_debian;
};

const std::map<std::string, Known>& known() {
    static const std::map<std::string, Known> all{
        {"Boost (Asio, Beast)", {"libboost1.81-dev", "BSL-1.0", "^ Boost Software License - Version 1.0"}},
        // Debian's file names version 1 of the Eclipse licence; the LICENSE of both projects is version 2.0.
        {"CBC", {"coinor-libcbc-dev", "EPL-2.0", "^License: EPL-1"}},
        {"Clp", {"coinor-libclp-dev", "EPL-2.0", "^License: EPL-1"}},
        {"CLI11", {"libcli11-dev", "BSD-3-Clause", "^License: BSD-3-clause"}},
        {"Eigen", {"libeigen3-dev", "MPL-2.0", "^License: MPL-2"}},
        // The text at the head of Debian's file; its list of files has the licences of their authors.
        {"FFmpeg (libavcodec, libavutil, libswscale)", {"libavcodec-dev", "GPL-2.0-or-later", "so the resulting binaries are licensed under GPL v2\\+"}},
        {"fmt", {"libfmt-dev", "MIT", "^License: Expat"}},
        {"JSON for Modern C++", {"nlohmann-json3-dev", "MIT", "^License: Expat"}},
        {"libjpeg-turbo", {"libturbojpeg0-dev", "BSD-3-Clause AND IJG AND Zlib", "^License: BSD-3-clause"}},
        {"libpcap", {"libpcap0.8-dev", "BSD-3-Clause", "3-clause BSD license"}},
        {"libseccomp", {"libseccomp-dev", "LGPL-2.1-only", "^License: LGPL-2.1$"}},
        {"libxlsxwriter", {"libxlsxwriter-dev", "BSD-2-Clause", "^License: *BSD-2-Clause"}},
        {"pugixml", {"libpugixml-dev", "MIT", "^License: Expat"}},
        {"toml++", {"libtomlplusplus-dev", "MIT", "^License: *Expat"}},
        {"zlib", {"zlib1g-dev", "Zlib", "^License: Zlib"}},
        {"Zstandard", {"libzstd-dev", "BSD-3-Clause", "^License: BSD-3-clause"}}};
    return all;
}

// The part that a shared library is; empty for the C and C++ runtime, which is the system's.
const std::map<std::string, std::string> kLibraries{
    {"libfmt.so.9", "fmt"},       {"libtomlplusplus.so.3", "toml++"}, {"libpugixml.so.1", "pugixml"},
    {"libCbcSolver.so.3", "CBC"}, {"libClp.so.1", "Clp"},             {"libxlsxwriter.so.4", "libxlsxwriter"},
    {"libavcodec.so.59", "FFmpeg (libavcodec, libavutil, libswscale)"}, {"libavutil.so.57", "FFmpeg (libavcodec, libavutil, libswscale)"},
    {"libswscale.so.6", "FFmpeg (libavcodec, libavutil, libswscale)"}, {"libseccomp.so.2", "libseccomp"},
    {"libturbojpeg.so.0", "libjpeg-turbo"},
    {"libpcap.so.0.8", "libpcap"}, {"libzstd.so.1", "Zstandard"},      {"libz.so.1", "zlib"},
    {"libstdc++.so.6", ""},       {"libgcc_s.so.1", ""},              {"libm.so.6", ""},
    {"libc.so.6", ""},            {"libasan.so.8", ""},               {"libubsan.so.1", ""},
    {"libtsan.so.2", ""}};

}  // namespace

TEST_CASE("asked for its version, a program tells its own and those that Debian says of its parts", "[outside]") {
    for (const auto& [name, program] : programs()) {
        const auto first = run_command(MASTLINE_BINARY_DIR "/" + program + " --version | head -n 1").output;
        const auto project = run_command("sed -n 's/^project(mastline VERSION \\([^ ]*\\).*/\\1/p' " MASTLINE_SOURCE_DIR
                                         "/CMakeLists.txt").output;
        CHECK(first == name + " " + project.substr(0, project.size() - 1) + ", Apache-2.0\n");
        const auto parts = parts_of(program);
        CHECK(parts.size() >= (name == "mastline-still" ? 2 : 4));
        for (const auto& [part, said] : parts) {
            INFO(name << ": " << part << " " << said.version << ", " << said.licence);
            REQUIRE(known().contains(part));
            const auto& [package, licence, in_debian] = known().at(part);
            const auto release = run_command("dpkg-query -W -f '${source:Upstream-Version}' " + package);
            REQUIRE(release.status == 0);
            CHECK(release.output.starts_with(said.version));
            CHECK(said.licence == licence);
            CHECK(run_command("grep -qE '" + in_debian + "' /usr/share/doc/" + package + "/copyright").status == 0);
        }
    }
}

TEST_CASE("asked for its version, a program names every library that it is linked with", "[unit]") {
    for (const auto& [name, program] : programs()) {
        const auto parts = parts_of(program);
        const auto needed = run_command("readelf -d " MASTLINE_BINARY_DIR "/" + program +
                                        " | sed -n 's/.*NEEDED.*\\[\\(.*\\)\\]/\\1/p'").output;
        REQUIRE_FALSE(needed.empty());
        for (std::size_t at = 0, end = 0; (end = needed.find('\n', at)) != std::string::npos; at = end + 1) {
            const auto library = needed.substr(at, end - at);
            INFO(name << " needs " << library);
            REQUIRE(kLibraries.contains(library));
            const auto& part = kLibraries.at(library);
            CHECK((part.empty() || parts.contains(part)));
        }
    }
}
