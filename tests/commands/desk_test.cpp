// SPDX-License-Identifier: Apache-2.0
// A venue on the desk: read, broken, cured, tried on, written.
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "mastline/web/http.hpp"
#include "planner/commands/desk_json.hpp"
#include "planner/commands/desk_pages.hpp"
#include "planner/commands/edits_json.hpp"
#include "planner/commands/file_stamps.hpp"
#include "support/paths.hpp"
#include "support/run_command.hpp"
#include "support/temp_folder.hpp"

using namespace mastline;

namespace desk_test {

using Json = nlohmann::json;

namespace {

namespace fs = std::filesystem;

class ArenaFolder {
public:
    ArenaFolder() { fs::copy(MASTLINE_SOURCE_DIR "/lineups/quillwater-arena", folder_.path() / "arena"); }
    std::string path() const { return folder_.file("arena"); }
    std::string file(const std::string& name) const { return path() + "/" + name; }
    std::string text(const std::string& name) const { return test::read_text(file(name)); }
    void change(const std::string& name, const std::string& from, const std::string& to) const {
        std::string all = text(name);
        const auto at = all.find(from);
        REQUIRE(at != std::string::npos);
        test::write_text(file(name), all.replace(at, from.size(), to));
    }
    const test::TempFolder& around() const { return folder_; }

private:
    test::TempFolder folder_;
};

DeskView first_view(const ArenaFolder& arena) { return next_view({}, arena.path(), std::nullopt); }

const VenueEdit kTrims = SetTrim{"amplifier", {Gain::db(-1), Gain::db(-5.5), Gain::db(-3), Gain::db(-5.5)}};

void check_schema(const ArenaFolder& arena, const std::string& json, const std::string& schema) {
    test::write_text(arena.around().file("out.json"), json);
    const auto result = test::run_command("/usr/bin/python3 " MASTLINE_SOURCE_DIR "/tests/report/check_schema.py " +
                                          arena.around().file("out.json") + " " MASTLINE_SOURCE_DIR "/planner/commands/" + schema + " 2>&1");
    INFO(result.output);
    CHECK(result.status == 0);
}

HttpRequest post(const std::string& path, const std::string& body) {
    HttpRequest out;
    out.method = "POST", out.path = path, out.body = body;
    return out;
}

HttpRequest get(const std::string& path) {
    HttpRequest out;
    out.method = "GET", out.path = path;
    return out;
}

}  // namespace

TEST_CASE("broken files leave the last good plan in its place, cured ones give the next", "[input]") {
    const ArenaFolder arena;
    const auto good = first_view(arena);
    REQUIRE(good.planned);
    CHECK(good.faults.empty());
    arena.change("roof.toml", "from = \"inserter.out\"", "from = \"insorter.out\"");
    const auto broken = next_view(good, arena.path(), std::nullopt);
    CHECK(broken.planned == good.planned);
    REQUIRE(broken.faults.size() == 1);
    CHECK(to_text(broken.faults[0].place) == "roof.toml:216:8");
    check_schema(arena, desk_json(broken), "desk.schema.json");
    const auto told = Json::parse(desk_json(broken))["faults"][0];
    CHECK(told["line"] == "from = \"insorter.out\"");
    CHECK(told["about"] == Json({{"section", "run"}, {"name", "R3"}}));
    test::write_text(arena.file("roof.toml"), "[[device\n");
    const auto garbled = next_view(broken, arena.path(), std::nullopt);
    CHECK(garbled.planned == good.planned);
    CHECK(garbled.faults.front().id == "file.not-toml");
    fs::remove(arena.file("roof.toml"));
    const auto missing = next_view(garbled, arena.path(), std::nullopt);
    CHECK(missing.faults.front().id == "file.missing");
    CHECK(std::count(missing.named.begin(), missing.named.end(), "roof.toml") == 1);
    fs::copy_file(MASTLINE_SOURCE_DIR "/lineups/quillwater-arena/roof.toml", arena.file("roof.toml"));
    const auto cured = next_view(missing, arena.path(), std::nullopt);
    CHECK(cured.faults.empty());
    CHECK(cured.version == good.version + 4);
    CHECK(cured.planned->base == good.planned->base);
    fs::remove_all(arena.path());
    CHECK(next_view(cured, arena.path(), std::nullopt).faults.front().id == "file.unreadable");
}

TEST_CASE("the context of a place is the table around it, in texts that are no TOML too", "[unit]") {
    const std::string text = "x = 1\n[[feed]]\nname = \"dish\"   # ours\n[[feed.lane]]\nlane = 1\nlevel = oops\n[[channel]]\nnumber = 5.1 # sub\n\n[network]\nzaps = \n";
    const auto at = [&](std::uint32_t line) { return context_of(text, {"v", line, 1}); };
    CHECK(at(1).section.empty());
    CHECK((at(2).section == "feed" && at(2).name == "dish"));
    CHECK((at(6).section == "feed" && at(6).name == "dish" && at(6).line == "level = oops"));
    CHECK((at(8).section == "channel" && at(8).name == "5.1"));
    CHECK((at(11).section == "network" && at(11).name.empty()));
    CHECK(at(40).line.empty());
}

TEST_CASE("a trial tells what changes, and touches no file", "[unit]") {
    const ArenaFolder arena;
    const auto view = first_view(arena);
    const std::vector<VenueEdit> edits{kTrims, RemoveLink{"core"}, AddCard{"B4", "tuner-16", "B", "B2", CardState::installed}};
    const auto trial = try_edits(*view.planned, edits, std::nullopt);
    REQUIRE(trial.planned);
    CHECK(trial.planned->opened.venue.cards.size() == view.planned->opened.venue.cards.size() + 1);
    CHECK(trial.planned->opened.venue.links.size() == view.planned->opened.venue.links.size() - 1);
    check_schema(arena, trial_json(edits, trial), "trial.schema.json");
    CHECK(base_of(next_view(view, arena.path(), std::nullopt).texts) == view.planned->base);
    const auto nothing = try_edits(*view.planned, {}, std::nullopt);
    CHECK(nothing.difference.nothing());
    const auto wrong = try_edits(*view.planned, {SetSlope{"amplifier", Gain::db(-3)}}, std::nullopt);
    CHECK(!wrong.planned);
    CHECK(wrong.faults.front().place.file == "roof.toml");
    check_schema(arena, trial_json({}, wrong), "trial.schema.json");
}

TEST_CASE("a written trial is what was tried, and comments, order, links and permissions stay", "[unit]") {
    const ArenaFolder arena;
    fs::rename(arena.file("roof.toml"), arena.file("real-roof.toml"));
    fs::create_symlink("real-roof.toml", arena.file("roof.toml"));
    fs::permissions(arena.file("real-roof.toml"), fs::perms::owner_read | fs::perms::owner_write | fs::perms::group_read);
    const auto view = first_view(arena);
    const std::string before = arena.text("roof.toml");
    const auto trial = try_edits(*view.planned, {kTrims}, std::nullopt);
    CHECK(write_edits(*view.planned, {kTrims}).files == std::vector<std::string>{"roof.toml"});
    std::string expected = before;
    const std::string table = "model = \"launch-amplifier\"\nposition = \"equipment room north, rack 1\"\n";
    expected.insert(expected.find(table) + table.size(), "trim = [\"-1 dB\", \"-5.5 dB\", \"-3 dB\", \"-5.5 dB\"]\n");
    CHECK(arena.text("roof.toml") == expected);
    CHECK(fs::is_symlink(arena.file("roof.toml")));
    CHECK(fs::status(arena.file("roof.toml")).permissions() == (fs::perms::owner_read | fs::perms::owner_write | fs::perms::group_read));
    const auto after = next_view(view, arena.path(), std::nullopt);
    CHECK(after.planned->base == trial.planned->base);
    CHECK(after.planned->plan.lineup.revision == trial.planned->plan.lineup.revision);
}

TEST_CASE("a file that was changed underneath is not written", "[input]") {
    const ArenaFolder arena;
    const auto view = first_view(arena);
    arena.change("house.toml", "# In-house sources", "# Our in-house sources");
    const std::string roof = arena.text("roof.toml");
    const auto refused = write_edits(*view.planned, {kTrims});
    CHECK(refused.refusal.starts_with("house.toml was changed by someone else"));
    CHECK(arena.text("roof.toml") == roof);
    fs::remove(arena.file("network.toml"));
    CHECK(write_edits(*first_view(ArenaFolder()).planned, {SetSlope{"nobody", std::nullopt}}).refusal.find("nobody") != std::string::npos);
    CHECK(!write_edits(*view.planned, {kTrims}).refusal.empty());
}

TEST_CASE("edits that are none are refused with what would be right", "[input]") {
    const auto fault = [](const std::string& json) -> std::string {
        try {
            read_edits(json);
        } catch (const EditsFault& f) {
            return f.what();
        }
        return "";
    };
    CHECK(fault("") == "send an object with \"edits\", a list");
    CHECK(fault("[1]") == "send an object with \"edits\", a list");
    CHECK(fault("{\"edits\": [3]}") == "edit 1: is no object");
    CHECK(fault("{\"edits\": [{\"edit\": \"paint\"}]}") == "edit 1: \"edit\" is none of trim, slope, pads, loss, card, no-link");
    CHECK(fault("{\"edits\": [{\"edit\": \"trim\", \"device\": \"a\"}]}") == "edit 1: \"trim_db\" is missing");
    for (const std::string trims : {"[]", "3", "[\"x\"]", "[1e9]", "[null]", "{}"})
        CHECK(fault("{\"edits\": [{\"edit\": \"trim\", \"device\": \"a\", \"trim_db\": " + trims + "}]}").starts_with("edit 1: "));
    CHECK(fault("{\"edits\": [{\"edit\": \"no-link\", \"link\": \"\"}]}").starts_with("edit 1: \"link\" is no text"));
    CHECK(fault("{\"edits\": [{\"edit\": \"card\", \"name\": \"a\", \"model\": \"m\", \"state\": \"lent\"}]}") ==
          "edit 1: \"state\" is none of installed, store, buy");
    CHECK(read_edits("{\"edits\": [{\"edit\": \"pads\", \"device\": \"p\", \"pads_db\": [6, null]}, {\"edit\": \"slope\", \"device\": \"a\", "
                     "\"slope_db\": null}], \"base\": \"b\"}").edits.size() == 2);
}

TEST_CASE("the pages answer with the sheets, trials and refusals", "[unit]") {
    const ArenaFolder arena;
    DeskPages pages{std::nullopt};
    CHECK(pages.answer(get("/")).body.find("No plan yet") != std::string::npos);
    CHECK(pages.answer(post("/try", "{\"edits\": []}")).status == 409);
    pages.show(first_view(arena));
    const auto page = pages.answer(get("/"));
    CHECK(page.body.find("<section class=\"sheet\" id=\"cutover\"") != std::string::npos);
    CHECK(page.policy.find("unsafe") == std::string::npos);
    CHECK(page.policy != pages.answer(get("/")).policy);  // a fresh nonce for each
    CHECK(pages.answer(get("/slip.js")).type == "text/javascript; charset=utf-8");
    CHECK(pages.answer(get("/../roof.toml")).status == 404);
    CHECK(pages.answer(get("/write")).status == 404);
    CHECK(pages.answer(post("/desk.json", "")).status == 404);
    CHECK(pages.answer(post("/try", "nonsense")).status == 400);
    const std::string trims = "{\"edits\": [{\"edit\": \"trim\", \"device\": \"amplifier\", \"trim_db\": [-1, -5.5, -3, -5.5]}]";
    CHECK(Json::parse(pages.answer(post("/try", trims + "}")).body)["difference"]["levels"].size() > 10);
    const auto tried = Json::parse(pages.answer(post("/try-sheets", trims + "}")).body);
    CHECK(tried["sheets"].size() == 14);
    CHECK(tried["base"] != pages.view().planned->base);
    const std::string roof = arena.text("roof.toml");
    CHECK(pages.answer(post("/write", trims + "}")).status == 409);
    CHECK(pages.answer(post("/write", trims + ", \"base\": \"0\"}")).status == 409);
    CHECK(arena.text("roof.toml") == roof);
    CHECK(pages.answer(post("/write", trims + ", \"base\": \"" + pages.view().planned->base + "\"}")).body == "written to roof.toml");
    CHECK(arena.text("roof.toml") != roof);
}

TEST_CASE("only the sheets that a page has not are sent", "[unit]") {
    const ArenaFolder arena;
    DeskPages pages{std::nullopt};
    CHECK(pages.answer(get("/sheets.json")).status == 404);
    const auto view = first_view(arena);
    pages.show(view);
    const auto hashes = [](const Json& set) {
        std::map<std::string, std::string> out;
        for (const auto& sheet : set["sheets"]) out[sheet["id"]] = sheet["hash"];
        return out;
    };
    const auto sheets = [&](const std::string& had) {
        auto request = get("/sheets.json");
        request.query = {{"had", had}};
        return Json::parse(pages.answer(request).body);
    };
    const auto first = sheets("");
    const auto page = pages.answer(get("/")).body;
    std::string had;
    for (const auto& sheet : first["sheets"]) {
        CHECK(page.find(sheet["html"].get<std::string>()) != std::string::npos);
        had += (had.empty() ? "" : ",") + sheet["hash"].get<std::string>();
    }
    // A longer cable: its sheets and those that tell levels differ; the network, the channels and the rest do not.
    arena.change("roof.toml", "name = \"R6\"\nfrom = \"tap-trunk.out\"\nto = \"splitter.in\"\ncable = \"rg6\"\nlength = \"2 m\"",
                 "name = \"R6\"\nfrom = \"tap-trunk.out\"\nto = \"splitter.in\"\ncable = \"rg6\"\nlength = \"7 m\"");
    pages.show(next_view(view, arena.path(), std::nullopt));
    const auto second = sheets(had);
    CHECK(second["revision"] != first["revision"]);
    const auto before = hashes(first), after = hashes(second);
    for (const auto& sheet : second["sheets"])
        CHECK(sheet.contains("html") == (before.at(sheet["id"]) != after.at(sheet["id"])));
    CHECK(before.at("wiring") != after.at("wiring"));
    for (const std::string same : {"network", "channels", "addresses"}) CHECK(before.at(same) == after.at(same));
}

TEST_CASE("a stamp differs after every kind of save", "[unit]") {
    const test::TempFolder folder;
    const std::vector<fs::path> files{folder.file("a")};
    const auto none = stamps_of(files);
    test::write_text(files[0], "1");
    const auto first = stamps_of(files);
    CHECK(first != none);
    test::write_text(folder.file("b"), "2");
    fs::rename(folder.file("b"), files[0]);
    CHECK(stamps_of(files) != first);
    fs::remove(files[0]);
    CHECK(stamps_of(files) == none);
}

}  // namespace desk_test
