// SPDX-License-Identifier: Apache-2.0
#include <catch2/catch.hpp>

#include "planner/commands/findings_text.hpp"

using namespace mastline;

namespace {

Finding finding(Severity severity = Severity::error) {
    return {severity, "level.above-window", "ms-1.in lane 1", "the level is above the window",
            "10.0 dB", "put a pad of 10 dB before it", {"venue.toml", 41, 8}};
}

}  // namespace

TEST_CASE("a finding is one line where the output is no terminal", "[unit]") {
    CHECK(findings_text({finding()}, {}) ==
          "venue.toml:41:8: error: level.above-window: ms-1.in lane 1: the level is above the "
          "window (10.0 dB); put a pad of 10 dB before it\n");
}

TEST_CASE("a terminal's lines are broken between words and set in", "[unit]") {
    CHECK(findings_text({finding()}, {.columns = 60}) ==
          "venue.toml:41:8: error: level.above-window: ms-1.in lane 1:\n"
          "    the level is above the window (10.0 dB); put a pad of 10\n"
          "    dB before it\n");
}

TEST_CASE("colour comes on top of the severity's word, never instead", "[unit]") {
    const auto text = findings_text({finding(), finding(Severity::warning), finding(Severity::note)},
                                    {.colour = true});
    CHECK(text.find("\033[1;31merror\033[0m: level") != std::string::npos);
    CHECK(text.find("\033[1;33mwarning\033[0m: level") != std::string::npos);
    CHECK(text.find("\033[1;36mnote\033[0m: level") != std::string::npos);
}

TEST_CASE("a place that holds the severity's word is not coloured", "[unit]") {
    auto f = finding();
    f.place.file = "errors.toml";
    CHECK(findings_text({f}, {.colour = true}).starts_with("errors.toml:41:8: \033[1;31merror\033[0m"));
}

TEST_CASE("control characters of a venue's files do not reach the terminal", "[input]") {
    auto f = finding();
    f.what = "name \033[2J\u202Egnp";
    f.place.file = "a\nb.toml";
    const auto text = findings_text({f}, {});
    CHECK(text.find('\033') == std::string::npos);
    CHECK(text.find("\u202E") == std::string::npos);
    CHECK(text.find('\n') == text.size() - 1);
}

TEST_CASE("a narrow terminal is not broken for", "[unit]") {
    CHECK(findings_text({finding()}, {.columns = 12}).find("\n    ") == std::string::npos);
}

TEST_CASE("findings are counted by severity", "[unit]") {
    CHECK(counts_text({}) == "0 errors, 0 warnings, 0 notes");
    CHECK(counts_text({finding(), finding(Severity::warning), finding(Severity::warning),
                       finding(Severity::note)}) == "1 error, 2 warnings, 1 note");
}
