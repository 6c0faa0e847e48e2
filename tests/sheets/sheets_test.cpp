// SPDX-License-Identifier: Apache-2.0
#include "mastline/sheets/sheets.hpp"

#include <chrono>
#include <algorithm>
#include <map>
#include <regex>
#include <set>
#include <sstream>

#include <catch2/catch.hpp>

#include "tests/support/sample_plan.hpp"

using namespace mastline;

namespace sheets_test {

namespace {

bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

std::size_t count_of(const std::string& text, const std::string& part) {
    std::size_t count = 0;
    for (auto at = text.find(part); at != std::string::npos; at = text.find(part, at + part.size()))
        ++count;
    return count;
}

// Every value of an attribute that opens with `opening` (such as ` id="`).
std::multiset<std::string> values_of(const std::string& html, const std::string& opening) {
    std::multiset<std::string> out;
    for (auto at = html.find(opening); at != std::string::npos; at = html.find(opening, at + 1)) {
        const auto start = at + opening.size();
        out.insert(html.substr(start, html.find('"', start) - start));
    }
    return out;
}

// Ten, and the four that belong to one of them.
constexpr std::size_t kSheets = 14;

std::string without_script(const std::string& html) {
    return html.substr(0, html.find("<script>"));
}

}  // namespace

TEST_CASE("a venue of sixty channels makes ten numbered sheets in under two megabytes", "[unit]") {
    const auto [venue, plan] = sample::make();
    const std::string html = write_sheets(venue, plan);
    CHECK(count_of(html, "<section class=\"sheet\"") == kSheets);
    CHECK(has(html, "<dt>Number</dt><dd>10 of 10</dd>"));
    CHECK(count_of(html, "<dt>Revision</dt><dd class=\"revision\">4f2a91c07be3</dd>") == kSheets);
    CHECK(html.size() < 2'000'000);
}

TEST_CASE("the same venue and plan give the same bytes", "[property]") {
    const auto one = sample::make(), two = sample::make();
    CHECK(write_sheets(one.venue, one.plan) == write_sheets(two.venue, two.plan));
    CHECK(channels_csv(one.venue, one.plan) == channels_csv(two.venue, two.plan));
    CHECK(wiring_csv(one.venue, one.plan) == wiring_csv(two.venue, two.plan));
}

TEST_CASE("ids are unique and every link of the document leads somewhere in it", "[unit]") {
    for (const int wings : {0, 1, 3}) {
        const auto [venue, plan] = wings == 0 ? sample::empty() : sample::make(wings);
        const std::string html = without_script(write_sheets(venue, plan));
        const auto ids = values_of(html, " id=\"");
        for (const auto& id : ids) CHECK((ids.count(id) == 1 || id.empty()));
        CHECK(ids.count("") == 0);
        for (const auto& target : values_of(html, "href=\"#")) {
            INFO(target);
            CHECK(ids.count(target) == 1);
        }
    }
}

TEST_CASE("each sheet stands on its own, its links leading into the files of the others", "[unit]") {
    const auto [venue, plan] = sample::make();
    const auto set = write_document_set(venue, plan);
    REQUIRE(set.sheets.size() == kSheets);
    std::map<std::string, std::multiset<std::string>> ids;
    for (const auto& sheet : set.sheets)
        ids[sheet.name] = values_of(without_script(sheet.html), " id=\"");
    CHECK(ids.size() == kSheets);
    CHECK(ids.contains("01-findings.html"));
    CHECK(ids.contains("08a-agreement.html"));
    std::size_t abroad = 0;
    for (const auto& sheet : set.sheets) {
        INFO(sheet.name);
        CHECK(count_of(sheet.html, "<section class=\"sheet\"") == 1);
        CHECK(count_of(sheet.html, "<dt>Revision</dt><dd class=\"revision\">4f2a91c07be3</dd>") == 1);
        CHECK(has(sheet.html, "default-src 'none'"));
        for (const auto& target : values_of(without_script(sheet.html), "href=\"")) {
            if (target == "data:,") continue;
            const auto hash = target.find('#');
            REQUIRE(hash != std::string::npos);
            const std::string file = hash == 0 ? sheet.name : target.substr(0, hash);
            abroad += hash == 0 ? 0 : 1;
            INFO(target);
            CHECK(ids[file].contains(target.substr(hash + 1)));
        }
    }
    CHECK(abroad > 300);
}

TEST_CASE("the document asks nothing of the network", "[unit]") {
    const auto [venue, plan] = sample::make();
    const std::string html = write_sheets(venue, plan);
    CHECK_FALSE(has(html, "http://"));
    CHECK_FALSE(has(html, "https://"));
    CHECK_FALSE(has(html, "src="));
    CHECK_FALSE(has(html, "@import"));
    CHECK(has(html, "default-src 'none'"));
}

TEST_CASE("an empty venue makes sheets that say so in words", "[unit]") {
    const auto [venue, plan] = sample::empty();
    const std::string html = write_sheets(venue, plan);
    CHECK(count_of(html, "<section class=\"sheet\"") == kSheets);
    for (const auto* words :
         {"The venue has no feeds", "The venue has no cards", "The venue has no channels",
          "The venue has no network", "No group is in use", "no cables and no equipment"})
        CHECK(has(html, words));
    CHECK(channels_csv(venue, plan).starts_with("Number,Name,"));
}

TEST_CASE("findings lead to the picture or the row of what they are about", "[unit]") {
    auto made = sample::make();
    auto& venue = made.venue;
    auto& plan = made.plan;
    const auto about = [&](const char* subject) {
        plan.findings = {{Severity::note, "x.y", subject, "", "", "", {}}};
        const std::string html = without_script(write_sheets(venue, plan));
        const std::string closing = std::string(">") + subject + "</a></td>";
        const auto end = html.find(closing);
        if (end == std::string::npos) return std::string("none");
        const auto start = html.rfind("href=\"#", end) + 7;
        return html.substr(start, end - 1 - start);
    };
    CHECK(about("ms-1.sat lane west/1").starts_with("p-dev-"));
    CHECK(about("channel 160") == "t-ch-59");
    CHECK(about("A-2") == "p-card-1");
    CHECK(about("switch access-01") == "p-sw-2");
    CHECK(about("west") == "p-feed-0");
    CHECK(about("link core-1/core-2") == "none");
    CHECK(about("channel 9999") == "none");
    CHECK(about("") == "none");
}

TEST_CASE("both ends of a cable have a label with what to expect there", "[unit]") {
    const auto [venue, plan] = sample::make();
    const auto set = write_document_set(venue, plan);
    const auto& labels = std::find_if(set.sheets.begin(), set.sheets.end(), [](const SheetFile& f) {
                             return f.name == "04a-cable-labels.html";
                         })->html;
    std::size_t cables = 0;
    for (const auto& run : venue.runs) cables += run.lanes.size();
    CHECK(count_of(labels, "<li><b>") == 2 * cables);
    CHECK(has(labels, "<li><b>W101/1</b> <span>west.out lane 1</span> <span>to sa-1.in lane 1</span> "
                      "<span>rg6, 12 m</span> <span>expect \u221232.0/\u221236.0 dBm</span></li>"));
    CHECK(has(labels, "<li><b>W101/1</b> <span>sa-1.in lane 1</span> <span>to west.out lane 1</span> "
                      "<span>rg6, 12 m</span> <span>expect \u221233.8/\u221238.6 dBm</span></li>"));
}

TEST_CASE("IPv6 groups are joined by MLD, one version below IGMP's", "[outside]") {
    // RFC 3810 section 1: MLDv2 is the counterpart of IGMPv3, MLDv1 of IGMPv2.
    auto [venue, plan] = sample::make();
    CHECK(has(write_sheets(venue, plan), "<dd>IGMP version 3</dd>"));
    for (auto& carriage : plan.addressing.carriages)
        carriage.flow.group = *Group::of(*parse_ip_address("ff35::8000:1"));
    CHECK(has(write_sheets(venue, plan), "<dd>MLD version 2</dd>"));
}

TEST_CASE("a channel without a home stands in the map and among the unplaced", "[unit]") {
    const auto [venue, plan] = sample::make();
    const std::string html = write_sheets(venue, plan);
    CHECK(has(html, "<td class=\"out\">no home</td>"));
    CHECK(has(html, "<a href=\"#t-ch-59\">160 Channel 60</a>"));
    CHECK(has(channels_csv(venue, plan), "160,Channel 60,HD,music,,,camera 60,,1,no home,"));
}

TEST_CASE("a protected channel carried twice has a row for each carriage", "[unit]") {
    const auto [venue, plan] = sample::make();
    CHECK(count_of(channels_csv(venue, plan), "\r\n104,Channel 4,") == 2);
}

namespace {

// Every text that a venue and its plan hold, set to `evil`; names by which parts find each other get
// it behind their own.
void spoil(Venue& venue, Plan& plan, const std::string& evil) {
    venue.name = venue.kind = plan.lineup.revision = evil;
    for (auto& feed : venue.feeds) feed.position = evil;
    for (auto& carrier : venue.carriers) carrier.name = carrier.system = carrier.modulation = evil;
    for (auto& channel : venue.channels) channel.name = channel.genre = channel.service = evil;
    for (auto& device : venue.devices) device.model = device.position = evil;
    for (auto& run : venue.runs) run.cable = run.name = evil;
    for (auto& card : venue.cards) card.model = card.attached_to = evil;
    for (auto& chassis : venue.chassis) chassis.name = evil;
    for (auto& sw : venue.switches) sw.position = evil;
    for (auto& zone : venue.zones) zone.name = evil;
    for (auto& link : venue.links) link.name = evil;
    for (auto& taken : venue.occupied) taken.what = evil;
    for (auto& finding : plan.findings)
        finding.id = finding.subject = finding.what = finding.amount = finding.cure =
            finding.place.file = evil;
    for (auto& load : plan.network.links) load.link = load.failure = load.member_rule = evil;
    for (auto& cut : plan.network.cut_off) cut.failure = cut.zone = evil;
    for (auto& proof : plan.assignment.proofs) proof.what = proof.why = evil;
    plan.assignment.moves = {{0, 1, evil, 1, evil}, {1, 1, evil, std::nullopt, evil}};
    plan.network.tree_root = plan.network.querier = evil;
    for (auto& supply : plan.signal.power) {
        supply.dark_channels = {evil};
        for (auto& load : supply.loads) load.part = evil;
    }
    for (auto& noise : plan.signal.noise) noise.carrier = evil;
    for (auto& flow : plan.lineup.flows) flow.service_name = flow.provider = evil;
}

// Whether a field of a CSV line starts a formula in a spreadsheet.
bool starts_formula(const std::string& csv) {
    static const std::regex field("(^|,|\n)\"?[ ]*([=@|%]|[+-](?![0-9.]+(,|\r)))");
    return std::regex_search(csv, field);
}

}  // namespace

TEST_CASE("names from files appear harmless in every output", "[input]") {
    auto [venue, plan] = sample::make();
    spoil(venue, plan,
          "</style></title><script>alert(1)</script><img src=x onerror=alert(2)>\"'&\x1b[31m\u202e\n=1+1\\");
    const auto set = write_document_set(venue, plan);
    std::vector<std::string> pages{set.whole};
    for (const auto& sheet : set.sheets) pages.push_back(sheet.html);
    for (const auto& html : pages) {
        CHECK(count_of(html, "<script>") == 1);
        CHECK(count_of(html, "</style>") == 2);
        CHECK_FALSE(has(html, "alert(1)</script>"));
        CHECK_FALSE(has(html, "<img"));
        CHECK_FALSE(has(html, "\x1b"));
        CHECK_FALSE(has(html, "\u202e"));
    }
}

TEST_CASE("no list carries a formula, a control character or a line inside a field", "[input]") {
    for (const auto* evil : {"=HYPERLINK(\"x\")", "+1+1", "-2+3", "@SUM(A1)", "  =1", "|cmd", "a\r\n=1",
                             "\x1b[2J", "right\u202eleft", "\t=1"}) {
        auto [venue, plan] = sample::make();
        spoil(venue, plan, evil);
        for (const auto& csv :
             {channels_csv(venue, plan), wiring_csv(venue, plan), settings_csv(venue, plan),
              parts_csv(venue, plan), power_csv(venue, plan), addresses_csv(venue, plan),
              loads_csv(venue, plan)}) {
            INFO(evil << "\n" << csv.substr(0, 400));
            CHECK_FALSE(starts_formula(csv));
            CHECK_FALSE(has(csv, "\x1b"));
            CHECK_FALSE(has(csv, "\u202e"));
            CHECK_FALSE(has(csv, "\t"));
            CHECK(count_of(csv, "\n") == count_of(csv, "\r\n"));
        }
    }
}

TEST_CASE("a name that a spreadsheet would take for a formula is neutralised in CSV", "[input]") {
    auto [venue, plan] = sample::make();
    venue.channels[0].name = "=HYPERLINK(\"x\")";
    venue.runs[0].name = "+1";
    CHECK(has(channels_csv(venue, plan), ",\"'=HYPERLINK(\"\"x\"\")\","));
    CHECK(has(wiring_csv(venue, plan), "\r\n'+1/1,"));
}

TEST_CASE("levels of the wiring list are numbers under a header with their unit", "[unit]") {
    const auto [venue, plan] = sample::make();
    const std::string csv = wiring_csv(venue, plan);
    CHECK(has(csv, ",Length (m),Place,\"From, lowest (dBm)\","));
    // West lane 1 leaves at -32 and -36 dBm; 12 m of the sample's cable take 1.8 and 2.64 dB.
    CHECK(has(csv,
              "\r\nW101/1,west,out,1,sa-1,in,1,coax,rg6,RF,west/1,12.0,indoor,-36.0,-32.0,-38.6,-33.8,\r\n"));
}

TEST_CASE("the wiring list marks lanes that change places, not those that all move alike", "[unit]") {
    auto made = sample::make();
    auto& run = made.venue.runs.at(0);
    const auto remarks = [&](const std::vector<std::pair<int, int>>& lanes) {
        run.lanes.clear();
        for (const auto& [from, to] : lanes) run.lanes.push_back({LaneNumber{from}, LaneNumber{to}});
        std::string out;
        std::istringstream csv(wiring_csv(made.venue, made.plan));
        for (std::string row; std::getline(csv, row);)
            if (row.starts_with(run.name + "/") || row.starts_with(run.name + ",")) out += has(row, ",crossed") ? 'x' : '-';
        return out;
    };
    CHECK(remarks({{1, 1}, {2, 2}}) == "--");
    CHECK(remarks({{1, 1}, {2, 3}, {3, 2}}) == "-xx");
    CHECK(remarks({{3, 1}, {4, 2}}) == "--");  // the second half of a feed, in order
    CHECK(remarks({{1, 5}}) == "-");           // an off-air lane beside four others
}

TEST_CASE("the agreement asks for the ports of FEC that is sent", "[unit]") {
    auto made = sample::make();
    made.venue.addressing.encapsulation = Encapsulation::rtp;
    made.venue.addressing.fec = FecPolicy{};
    CHECK(has(write_sheets(made.venue, made.plan), "RTCP on port + 1, FEC on port + 2 and + 4"));
    made.venue.addressing.fec->row_packets = false;
    CHECK(has(write_sheets(made.venue, made.plan), "RTCP on port + 1, FEC on port + 2<"));
    CHECK(has(addresses_csv(made.venue, made.plan), ",none\r\n"));
    made.venue.addressing.fec->classes = {PictureClass::radio, PictureClass::sd, PictureClass::hd, PictureClass::uhd};
    const auto csv = addresses_csv(made.venue, made.plan);
    const auto port = std::to_string(made.plan.addressing.carriages.at(0).flow.port.number + 2);
    CHECK(has(csv, ",FEC ports\r\n"));
    CHECK(has(csv, "," + port + "\r\n"));
    CHECK(!has(csv, ",none\r\n"));
    made.venue.addressing.fec->row_packets = true;
    CHECK(has(addresses_csv(made.venue, made.plan), ",\"" + port + ", "));
}

TEST_CASE("a venue five times as large is written in well under a second", "[unit]") {
    const auto [venue, plan] = sample::make(5);
    const auto start = std::chrono::steady_clock::now();
    const std::string html = write_sheets(venue, plan);
    const auto took = std::chrono::steady_clock::now() - start;
    CHECK(html.size() < 10'000'000);
    CHECK(took < std::chrono::seconds(1));
}

TEST_CASE("the agreement names queriers in the order of their election", "[unit]") {
    auto [venue, plan] = sample::make();
    for (auto& sw : venue.switches) sw.querier = false;
    for (const std::size_t i : {0U, 1U, 2U}) venue.switches[i].querier = true;
    venue.switches[0].querier_address = IpAddress::v4(0x0A000009);
    venue.switches[1].querier_address = IpAddress::v4(0x0A000002);
    venue.switches[2].querier_address = IpAddress::v4(0x0A000004);
    plan.network.querier = venue.switches[1].name;
    const auto html = write_sheets(venue, plan);
    CHECK(has(html, "core-2 (10.0.0.2); then access-01 (10.0.0.4), core-1 (10.0.0.9)"));
    CHECK(has(html, "next querier"));
    CHECK(has(html, "querier, number 3 in turn"));
    venue.network.forwarding = Forwarding::routed;
    const auto routed = write_sheets(venue, plan);
    CHECK(has(routed, "each router, for the displays at it"));
    CHECK_FALSE(has(routed, "next querier"));
}

TEST_CASE("the agreement tells links by their names where several join the same switches", "[unit]") {
    auto [venue, plan] = sample::make();
    auto second = venue.links[0];
    second.name = "card room's own";
    auto load = plan.network.links[0];
    load.link = second.name;
    load.index = venue.links.size();
    venue.links.push_back(second);
    plan.network.links.push_back(load);
    const auto html = write_sheets(venue, plan);
    const auto agreement = html.substr(html.find("Link loads, fullest first"));
    CHECK(has(agreement, "core-1 to core-2 (core-1/core-2)"));
    CHECK(has(agreement, "core-1 to core-2 (card room"));
    CHECK(has(agreement, "core-1 to access-01<"));
}

}  // namespace sheets_test
