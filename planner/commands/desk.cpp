// SPDX-License-Identifier: Apache-2.0
#include "planner/commands/desk.hpp"

#include <chrono>
#include <system_error>

#include "mastline/text/escape.hpp"
#include "mastline/usage_error.hpp"
#include "mastline/venue/load_venue.hpp"
#include "planner/commands/input_file.hpp"
#include "planner/commands/output_files.hpp"
#include "planner/plan/content_hash.hpp"

namespace mastline {

namespace {

class TextFiles : public VenueFiles {
public:
    explicit TextFiles(const std::map<std::string, std::string>& texts) : texts_(texts) {}
    std::optional<std::string> read(const std::string& name) override {
        const auto found = texts_.find(name);
        return found == texts_.end() ? std::nullopt : std::optional(found->second);
    }

private:
    const std::map<std::string, std::string>& texts_;
};

std::shared_ptr<const PlannedVenue> planned(OpenedVenue opened, const std::optional<KeptPlan>& kept, const PlanStepSink& sink = {}) {
    const auto start = std::chrono::steady_clock::now();
    auto out = std::make_shared<PlannedVenue>();
    out->plan = make_plan(opened.venue, kept.value_or(KeptPlan{}), sink);
    out->base = base_of(opened.texts);
    out->opened = std::move(opened);
    out->planned_ms = std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - start).count();
    return out;
}

Finding unreadable(const std::string& path, const std::string& why) {
    return {Severity::error, "file.unreadable", {}, why, {}, "the sheets are of the last time that it could be read", {path}};
}

// The venue's TOML files: what edits are made in.
FileTexts toml_texts(const OpenedVenue& opened) {
    FileTexts out = opened.texts;
    if (opened.venue.channel_list) out.erase(opened.venue.channel_list->name);
    return out;
}

std::string_view trimmed(std::string_view text) { return detail::trim(text); }

// "device" of "[[device]]", "feed" of "[[feed.lane]]"; empty for a line that is no header.
std::string section_of(std::string_view line) {
    line = trimmed(line);
    if (!line.starts_with('[')) return {};
    line.remove_prefix(line.starts_with("[[") ? 2 : 1);
    return std::string(trimmed(line.substr(0, line.find_first_of(".]#"))));
}

// What stands after "name =" or "number =" on a line, quotes taken off.
std::string value_of(std::string_view line, std::string_view key) {
    line = trimmed(line);
    if (!line.starts_with(key)) return {};
    line = trimmed(line.substr(key.size()));
    if (!line.starts_with('=')) return {};
    line = trimmed(line.substr(1));
    if (line.starts_with('"') || line.starts_with('\'')) return std::string(line.substr(1, line.find(line[0], 1) - 1));
    return std::string(trimmed(line.substr(0, line.find('#'))));
}

std::vector<std::string_view> lines_of(std::string_view text) {
    std::vector<std::string_view> out;
    while (!text.empty()) {
        const auto end = text.find('\n');
        auto line = text.substr(0, end);
        if (line.ends_with('\r')) line.remove_suffix(1);
        out.push_back(line);
        text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
    }
    return out;
}

// Headers of tables inside another have a dot and do not end it.
bool is_outer_header(std::string_view line) {
    return !section_of(line).empty() && line.find('.') > line.find(']');
}

}  // namespace

std::string base_of(const std::map<std::string, std::string>& texts) {
    std::string all;
    for (const auto& [name, text] : texts) all += name + '\0' + std::to_string(text.size()) + '\0' + text;
    return hash_text(content_hash(all));
}

DeskView next_view(const DeskView& before, const std::string& path, const std::optional<KeptPlan>& kept, const PlanStepSink& sink) {
    DeskView out{before.version + 1, before.planned, {}, {}, before.named};
    try {
        auto opened = open_venue(path);
        out.texts = opened.texts;
        out.named = opened.absent;
        for (const auto& [name, text] : opened.texts) out.named.push_back(name);
        if (before.version > 0 && out.texts == before.texts && out.named == before.named) return before;
        if (opened.usable()) out.planned = planned(std::move(opened), kept, sink);
        else out.faults = std::move(opened.findings);
    } catch (const UsageError& error) {
        out.faults = {unreadable(path, error.what())};
    } catch (const std::system_error& error) {
        out.faults = {unreadable(path, error.what())};
    }
    return out;
}

PlaceContext context_of(const std::string& text, const Place& place) {
    PlaceContext out;
    const auto lines = lines_of(text);
    if (place.line == 0 || place.line > lines.size()) return out;
    const std::size_t at = place.line - 1;
    out.line = std::string(lines[at]);
    std::size_t first = at;
    while (first > 0 && !is_outer_header(lines[first])) --first;
    out.section = section_of(lines[first]);
    if (out.section.empty()) return out;
    const std::string_view key = out.section == "channel" ? "number" : "name";
    for (std::size_t i = first + 1; i < lines.size() && section_of(lines[i]).empty() && out.name.empty(); ++i)
        out.name = value_of(lines[i], key);
    return out;
}

Trial try_edits(const PlannedVenue& on, const std::vector<VenueEdit>& edits, const std::optional<KeptPlan>& kept) {
    Trial out;
    auto texts = on.opened.texts;
    for (auto& [name, text] : edit_venue(toml_texts(on.opened), edits, out.faults)) texts[name] = std::move(text);
    if (has_errors(out.faults)) return out;
    OpenedVenue opened{.folder = on.opened.folder, .main = on.opened.main, .texts = std::move(texts)};
    TextFiles files(opened.texts);
    opened.venue = load_venue(files, opened.main, opened.findings);
    if (!opened.usable()) {
        out.faults = std::move(opened.findings);
        return out;
    }
    out.planned = planned(std::move(opened), kept);
    out.difference = plan_difference(on.opened.venue, on.plan, out.planned->opened.venue, out.planned->plan);
    return out;
}

WrittenEdits write_edits(const PlannedVenue& on, const std::vector<VenueEdit>& edits) {
    const auto trial = try_edits(on, edits, std::nullopt);
    if (!trial.planned) return {"the venue with these changes has errors: " + to_line(trial.faults.front()), {}};
    for (const auto& [name, text] : on.opened.texts)
        if (read_file(on.opened.folder / name) != text)
            return {name + " was changed by someone else in the meantime; look at the new sheets, then try again", {}};
    std::vector<OutputFile> files;
    WrittenEdits out;
    for (const auto& [name, text] : trial.planned->opened.texts) {
        if (on.opened.texts.at(name) == text) continue;
        files.push_back({on.opened.folder / name, text});
        out.files.push_back(name);
    }
    replace_files(files);
    return out;
}

}  // namespace mastline
