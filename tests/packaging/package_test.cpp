// SPDX-License-Identifier: Apache-2.0
// The Debian package and the installed tree, checked by lintian and with Debian's own tools.
#include <catch2/catch.hpp>

#include <set>

#include "support/paths.hpp"
#include "support/run_command.hpp"
#include "support/temp_folder.hpp"

using namespace mastline::test;

namespace {

std::set<std::string> lines_of(const std::string& text) {
    std::set<std::string> out;
    for (std::size_t at = 0, end = 0; (end = text.find('\n', at)) != std::string::npos; at = end + 1)
        out.insert(text.substr(at, end - at));
    return out;
}

// Names of the files below a folder, relative to it.
std::set<std::string> files_below(const std::string& folder) {
    return lines_of(run_command("cd " + folder + " && find . -type f -printf '%P\\n'").output);
}

// Where the links of a page lead: [text](place), those to other machines left out.
std::set<std::string> links_of(const std::string& page) {
    std::set<std::string> out;
    for (auto at = page.find("]("); at != std::string::npos; at = page.find("](", at + 2)) {
        const auto place = page.substr(at + 2, page.find_first_of(")#", at) - at - 2);
        if (!place.empty() && place.find("://") == std::string::npos) out.insert(place);
    }
    return out;
}

}  // namespace

TEST_CASE("the Debian package has everything, passes lintian, and works where it is unpacked", "[outside]") {
    const TempFolder folder;
    const auto made = run_command(MASTLINE_SOURCE_DIR "/tools/package --built " MASTLINE_BINARY_DIR " " +
                                  folder.path().string() + " 2>&1");
    INFO(made.output);
    REQUIRE(made.status == 0);
    const auto package = made.output.substr(0, made.output.find('\n'));
    const auto root = folder.file("unpacked");
    REQUIRE(run_command("dpkg-deb -x " + package + " " + root).status == 0);

    const auto files = files_below(root);
    for (const std::string name : {"planner", "probe", "rehearse"}) {
        CHECK(files.contains("usr/bin/mastline-" + name));
        CHECK(files.contains("usr/share/man/man1/mastline-" + name + ".1.gz"));
        for (const std::string& script : {"bash-completion/completions/mastline-" + name, "zsh/vendor-completions/_mastline-" + name,
                                          "fish/vendor_completions.d/mastline-" + name + ".fish"}) {
            INFO(script);
            CHECK(read_text(root + "/usr/share/" + script).find("mastline-" + name) != std::string::npos);
        }
    }
    for (const std::string file :
         {"usr/lib/systemd/system/mastline-watch@.service", "usr/share/mastline/mastline-alerts.yml",
          "usr/share/doc/mastline/README.md", "usr/share/doc/mastline/REFERENCE.md", "usr/share/doc/mastline/copyright",
          "usr/share/doc/mastline/changelog.gz"}) {
        INFO(file);
        CHECK(files.contains(file));
    }
    CHECK_FALSE(files.contains("usr/libexec/mastline/mastline-still"));  // a package of its own
    for (const auto& file : files_below(MASTLINE_SOURCE_DIR "/lineups"))
        CHECK(files.contains("usr/share/doc/mastline/examples/" + file));

    CHECK(read_text(root + "/usr/lib/systemd/system/mastline-watch@.service").find("\nExecStart=/usr/bin/mastline-probe ") !=
          std::string::npos);
    const auto version = run_command("dpkg-deb -f " + package + " Version").output;
    CHECK(run_command("dpkg-parsechangelog -l " MASTLINE_SOURCE_DIR "/tools/packaging/changelog -S Version").output == version);
    // The packages that own what the loader will ask for, found without dpkg-shlibdeps.
    const auto owners = run_command(
        "readelf -d " + root + "/usr/bin/* | sed -n 's/.*NEEDED.*\\[\\(.*\\)\\]/\\1/p' | sort -u | while read -r name; do "
        "dpkg -S \"*/$(dpkg-architecture -q DEB_HOST_MULTIARCH)/$name\"; done | cut -d: -f1 | sort -u");
    const auto depends = run_command("dpkg-deb -f " + package + " Depends").output;
    CHECK(lines_of(owners.output).size() >= 8);
    for (const auto& owner : lines_of(owners.output)) {
        INFO(owner << " in " << depends);
        CHECK((" " + depends).find(" " + owner) != std::string::npos);
    }
    const auto checked = run_command(root + "/usr/bin/mastline-planner check " + root +
                                     "/usr/share/doc/mastline/examples/quillwater-arena 2>&1");
    INFO(checked.output);
    CHECK(checked.status == 0);
}

TEST_CASE("an installation under any prefix has everything, and a unit that names its program", "[unit]") {
    const TempFolder folder;
    const auto installed = run_command("cmake --install " MASTLINE_BINARY_DIR " --prefix " + folder.path().string() + " 2>&1");
    INFO(installed.output);
    REQUIRE(installed.status == 0);
    for (const std::string file :
         {"bin/mastline-planner", "bin/mastline-probe", "bin/mastline-rehearse", "share/man/man1/mastline-planner.1",
          "share/man/man1/mastline-probe.1", "share/man/man1/mastline-rehearse.1", "share/mastline/mastline-alerts.yml",
          "share/doc/mastline/README.md", "share/doc/mastline/LICENSE",
          "share/doc/mastline/examples/quillwater-arena/venue.toml"}) {
        INFO(file);
        CHECK(std::filesystem::is_regular_file(folder.path() / file));
    }
    const auto pages = folder.path() / "share/doc/mastline";
    CHECK(links_of(read_text(pages / "README.md")).size() >= 3);
    for (const std::string page : {"README.md", "DEVELOPERS.md", "REFERENCE.md", "examples/GUIDE.md"})
        for (const auto& link : links_of(read_text(pages / page))) {
            INFO(page << " leads to " << link);
            CHECK(std::filesystem::is_regular_file((pages / page).parent_path() / link));
        }
    if (std::filesystem::exists(MASTLINE_BINARY_DIR "/probe/mastline-still"))
        CHECK(std::filesystem::is_regular_file(folder.path() / "libexec/mastline/mastline-still"));
    const auto unit = read_text(folder.path() / "lib/systemd/system/mastline-watch@.service");
    CHECK(unit.find("\nExecStart=" + folder.file("bin/mastline-probe") + " ") != std::string::npos);
}
