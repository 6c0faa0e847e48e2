// SPDX-License-Identifier: Apache-2.0
#include "planner/commands/open_venue.hpp"

#include "mastline/usage_error.hpp"
#include "mastline/venue/load_venue.hpp"
#include "planner/commands/input_file.hpp"

namespace mastline {

namespace {

namespace fs = std::filesystem;

class DiskFiles : public VenueFiles {
public:
    explicit DiskFiles(OpenedVenue& to) : to_(to) {}
    std::optional<std::string> read(const std::string& name) override {
        auto text = read_file(to_.folder / name);
        if (text) to_.texts[name] = *text;
        else to_.absent.push_back(name);
        return text;
    }

private:
    OpenedVenue& to_;
};

}  // namespace

std::vector<fs::path> OpenedVenue::files() const {
    std::vector<fs::path> out;
    for (const auto& [name, text] : texts) out.push_back(folder / name);
    return out;
}

OpenedVenue open_venue(const std::string& path) {
    std::error_code unreadable;  // reading the file tells why
    const bool folder = fs::is_directory(path, unreadable);
    const fs::path main = folder ? fs::path(path) / "venue.toml" : fs::path(path);
    OpenedVenue out;
    out.folder = main.parent_path();
    out.main = main.filename().string();
    DiskFiles files(out);
    out.venue = load_venue(files, out.main, out.findings);
    if (out.texts.empty())
        throw UsageError("there is no " + main.string() +
                         (folder ? "; name a venue's folder" : "; name a venue's folder or its venue.toml"));
    return out;
}

}  // namespace mastline
