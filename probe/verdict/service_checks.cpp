// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <array>

#include "mastline/mpeg/stream_kind.hpp"
#include "probe/verdict/checklist.hpp"

namespace mastline {

namespace {

std::string quoted(const std::string& text) { return "\"" + text + "\""; }

std::string number_text_of(ProgramNumber n) { return "programme " + std::to_string(n.value); }

const ProgrammeObservation* find_programme(const StreamObservation& s, ProgramNumber number) {
    const auto found = std::ranges::find(s.programmes, number, &ProgrammeObservation::program_number);
    return found != s.programmes.end() && found->pmt_pid ? &*found : nullptr;
}

std::string service_name(const ProgrammeObservation& p) {
    return p.service ? p.service->name : std::string();
}

bool same_pids(const Expectation& e, const ProgrammeObservation& p) {
    return p.pmt_seen && !e.components.empty() && e.components.size() == p.components.size() &&
           std::ranges::all_of(e.components, [&](const ExpectedComponent& wanted) {
               return std::ranges::find(p.components, wanted.pid, &ComponentObservation::pid) !=
                      p.components.end();
           });
}

// The channel of the lineup that a programme belongs to: by its name, or where the stream states
// none by programme number and PIDs.
const Expectation* owner(const ExpectedLineup& lineup, const ProgrammeObservation& p) {
    const std::string name = service_name(p);
    for (const auto& e : lineup.flows) {
        if (!name.empty() && !e.service_name.empty()) {
            if (e.service_name == name) return &e;
        } else if (e.program_number == p.program_number && same_pids(e, p)) {
            return &e;
        }
    }
    return nullptr;
}

bool same_channel(const Expectation& a, const Expectation& b) { return a.channel == b.channel; }

// What is in the group instead, in words.
std::string described(const Case& c, const ProgrammeObservation& p, bool& swapped) {
    const std::string name = service_name(p);
    const std::string what =
        number_text_of(p.program_number) + (name.empty() ? "" : " " + quoted(name));
    const Expectation* of = owner(c.lineup, p);
    if (of == nullptr || same_channel(*of, c.expected)) return what;
    swapped = true;
    return "group of " + c.expected.channel + " carries " + of->channel + ": " + what;
}

std::string found_instead(const Case& c, const StreamObservation& s) {
    bool swapped = false;
    std::string out;
    for (const auto& p : s.programmes) {
        const std::string text = described(c, p, swapped);
        if (swapped) return text;
        if (out.size() < 120) out += (out.empty() ? "" : ", ") + text;
    }
    return out.empty() ? "no programme" : out;
}

void check_identity(const Case& c, const StreamObservation& s, Checklist& list) {
    if (!s.transport_stream_id) return;
    const std::string expected = std::to_string(c.expected.transport_stream_id);
    const std::string found = std::to_string(*s.transport_stream_id);
    if (expected == found) list.pass("stream.id", expected, found);
    else list.note("stream.id", "transport_stream_id " + expected, found);
}

// An SDT comes at least every two seconds (EN 300 468, TR 101 211).
bool name_had_time(const Watch& watch) {
    return !watch.start || watch.length() >= std::chrono::milliseconds(2500);
}

void check_name(const Case& c, const ProgrammeObservation& p, Checklist& list) {
    const std::string& wanted = c.expected.service_name;
    const std::string found = service_name(p);
    if (wanted.empty()) return;
    if (found == wanted) list.pass("stream.name", quoted(wanted), quoted(found));
    else if (!found.empty()) list.fail("stream.name", quoted(wanted), quoted(found));
    else if (!p.service && is_cut(c)) list.skip("stream.name", kCut);
    else if (p.service || name_had_time(c.watch))
        list.fail("stream.name", quoted(wanted), p.service ? "an empty name" : "no service description");
    else list.skip("stream.name", "no service description yet; it comes every 2 s");
}

std::string component_text(const ExpectedComponent& e) {
    return "PID " + std::to_string(e.pid.value()) + " " + e.kind;
}

bool must_flow(const std::string& kind) {
    const auto known = stream_kind_named(kind);
    if (!known) return false;
    static constexpr std::array<std::string_view, 5> sparse{"teletext", "subtitles", "scte35",
                                                            "private-sections", "private-data"};
    return std::ranges::find(sparse, known->name) == sparse.end();
}

// Announced, but its packets do not come, or have ceased to come.
std::string silence(const Case& c, const ExpectedComponent& wanted, const ComponentObservation& seen) {
    const StreamObservation& s = *c.seen.stream;
    if (!must_flow(wanted.kind) || is_cut(c)) return {};
    const auto pid = std::ranges::find(s.pids, wanted.pid, &PidObservation::pid);
    if (seen.packets == 0 || pid == s.pids.end()) return component_text(wanted) + " is announced but sends nothing";
    if (!seen.still_pictures && pid->last && s.last && *s.last - *pid->last > kSilenceLimit)
        return component_text(wanted) + " sends nothing after " + moment(c.watch, *pid->last);
    return {};
}

std::string component_fault(const Case& c, const ExpectedComponent& wanted,
                            const ProgrammeObservation& p) {
    const auto found = std::ranges::find(p.components, wanted.pid, &ComponentObservation::pid);
    if (found == p.components.end()) return component_text(wanted) + " is missing";
    if (found->kind != wanted.kind)
        return component_text(wanted) + " is " + found->kind + " (stream_type " +
               std::to_string(found->stream_type.value) + ")";
    return silence(c, wanted, *found);
}

std::string extras(const Case& c, const ProgrammeObservation& p) {
    std::string out;
    for (const auto& seen : p.components)
        if (std::ranges::find(c.expected.components, seen.pid, &ExpectedComponent::pid) ==
            c.expected.components.end())
            out += (out.empty() ? "also PID " : ", PID ") + std::to_string(seen.pid.value()) + " " + seen.kind;
    return out;
}

std::string language_differences(const Case& c, const ProgrammeObservation& p) {
    std::string out;
    for (const auto& wanted : c.expected.components) {
        const auto seen = std::ranges::find(p.components, wanted.pid, &ComponentObservation::pid);
        if (wanted.language.empty() || seen == p.components.end()) continue;
        if (std::ranges::find(seen->languages, wanted.language) == seen->languages.end())
            out += (out.empty() ? "PID " : ", PID ") + std::to_string(wanted.pid.value()) +
                   " does not say language " + wanted.language;
    }
    return out;
}

// What the virtual channel table says of the components that the PMT does not (A/65, 6.9.5).
std::string location_differences(const ProgrammeObservation& p) {
    if (!p.service || !p.service->location) return {};
    const ServiceLocation& told = *p.service->location;
    std::string out;
    for (const auto& e : told.elements) {
        const bool there = std::ranges::any_of(p.components, [&](const ComponentObservation& c) {
            return c.pid == e.pid && c.stream_type == e.stream_type;
        });
        if (!there)
            out += (out.empty() ? "PID " : ", PID ") + std::to_string(e.pid.value()) + " of stream_type " +
                   std::to_string(e.stream_type.value);
    }
    if (told.pcr_pid != p.pcr_pid)
        out += (out.empty() ? "the PCR " : ", the PCR ") + (told.pcr_pid ? "on PID " + std::to_string(told.pcr_pid->value()) : "nowhere");
    return out.empty() ? out : "the virtual channel table has " + out + ", the PMT has not";
}

}  // namespace

bool check_service(const Case& c, Checklist& list) {
    static constexpr std::string_view id = "stream.service";
    const std::string wanted = number_text_of(c.expected.program_number) +
                               (c.expected.service_name.empty() ? "" : " " + quoted(c.expected.service_name));
    if (!c.seen.stream || !c.seen.stream->pat_seen) {
        list.skip(id, "there is no PAT to tell");
        return false;
    }
    const StreamObservation& s = *c.seen.stream;
    const ProgrammeObservation* p = find_programme(s, c.expected.program_number);
    bool swapped = false;
    const std::string text = p == nullptr ? found_instead(c, s) : described(c, *p, swapped);
    if (p == nullptr || swapped) {
        list.fail(id, wanted, text);
        return false;
    }
    list.pass(id, wanted, text);
    check_identity(c, s, list);
    check_name(c, *p, list);
    return true;
}

void check_components(const Case& c, Checklist& list) {
    const ProgrammeObservation* p = find_programme(*c.seen.stream, c.expected.program_number);
    if (p == nullptr || !p->pmt_seen) {
        list.skip("stream.components", "there is no PMT to tell");
        return;
    }
    std::string expected, faults;
    for (const auto& wanted : c.expected.components) {
        expected += (expected.empty() ? "" : ", ") + component_text(wanted);
        const std::string fault = component_fault(c, wanted, *p);
        if (!fault.empty()) faults += (faults.empty() ? "" : "; ") + fault;
    }
    std::string others;
    for (const std::string& more : {extras(c, *p), language_differences(c, *p), location_differences(*p)})
        others += (others.empty() || more.empty() ? "" : "; ") + more;
    if (!faults.empty()) list.fail("stream.components", expected, faults, others);
    else if (!others.empty()) list.note("stream.components", expected, others);
    else list.pass("stream.components", expected, "all there");

    const std::string pcr = std::to_string(c.expected.pcr_pid.value());
    if (p->pcr_pid == c.expected.pcr_pid) list.pass("stream.pcr-pid", pcr, pcr);
    else list.fail("stream.pcr-pid", pcr, p->pcr_pid ? std::to_string(p->pcr_pid->value()) : "none");

    if (!p->scrambled) list.pass("stream.scrambling", c.expected.scrambling_allowed ? "allowed" : "in the clear", "in the clear");
    else if (c.expected.scrambling_allowed) list.pass("stream.scrambling", "allowed", "scrambled");
    else list.fail("stream.scrambling", "in the clear", "scrambled");
}

}  // namespace mastline
