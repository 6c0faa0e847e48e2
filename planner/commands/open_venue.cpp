// SPDX-License-Identifier: Apache-2.0
#include "planner/commands/open_venue.hpp"

#include "mastline/venue/load_venue.hpp"
#include "planner/commands/input_file.hpp"
#include "planner/commands/usage_error.hpp"

namespace mastline {

namespace {

namespace fs = std::filesystem;

class DiskFiles : public VenueFiles {
public:
    explicit DiskFiles(fs::path folder) : folder_(std::move(folder)) {}
    std::optional<std::string> read(const std::string& name) override {
        auto text = read_file(folder_ / name);
        if (text) read_.push_back(folder_ / name);
        return text;
    }
    std::vector<fs::path> take_read() { return std::move(read_); }

private:
    fs::path folder_;
    std::vector<fs::path> read_;
};

}  // namespace

OpenedVenue open_venue(const std::string& path) {
    std::error_code unreadable;  // reading the file tells why
    const bool folder = fs::is_directory(path, unreadable);
    const fs::path main = folder ? fs::path(path) / "venue.toml" : fs::path(path);
    DiskFiles files(main.parent_path());
    OpenedVenue out;
    out.venue = load_venue(files, main.filename().string(), out.findings);
    out.files = files.take_read();
    if (out.files.empty())
        throw UsageError("there is no " + main.string() +
                         (folder ? "; name a venue's folder" : "; name a venue's folder or its venue.toml"));
    return out;
}

}  // namespace mastline
