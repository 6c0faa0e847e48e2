// SPDX-License-Identifier: Apache-2.0
#include <sys/stat.h>
#include <unistd.h>

#include <cstdlib>
#include <iostream>
#include <memory>
#include <thread>

#include "mastline/missing_input.hpp"
#include "mastline/report/live_lines.hpp"
#include "mastline/text/escape.hpp"
#include "mastline/still/decode_still.hpp"
#include "mastline/text/interface_names.hpp"
#include "mastline/units/unix_now.hpp"
#include "mastline/watch/rolling_watch.hpp"
#include "mastline/web/page_token.hpp"
#include "probe/commands/commands.hpp"
#include "probe/commands/listening.hpp"
#include "probe/commands/make_stills.hpp"
#include "probe/commands/output.hpp"
#include "probe/commands/stop_signal.hpp"
#include "probe/commands/terminal_screen.hpp"
#include "probe/commands/watch_pages.hpp"

namespace mastline {

namespace {

constexpr Duration kLookEvery = std::chrono::milliseconds(500);
constexpr Duration kStandingEvery = std::chrono::minutes(10);
constexpr Duration kShortestWindow = std::chrono::seconds(5), kLongestWindow = std::chrono::minutes(10);
// Datagrams gather so long before they are taken.
constexpr Duration kPageGather = std::chrono::milliseconds(4);

struct WatchOptions {
    std::string plan, interface, window = "10 s", listen, token_file;
    bool capture = false, stills = false;
};

// The options, understood.
struct Wishes {
    Duration window{};
    std::optional<ListenAddress> listen;
    std::optional<std::string> token;
    bool token_made_up = false;
};

bool turn_down(const std::string& why) {
    std::cerr << plain_line(why) << "\n";
    return false;
}

// Whether standard output is the journal's stream: systemd.exec(5), JOURNAL_STREAM.
bool writes_to_journal() {
    const char* told = std::getenv("JOURNAL_STREAM");
    struct stat out {};
    return told != nullptr && ::fstat(STDOUT_FILENO, &out) == 0 && std::to_string(out.st_dev) + ":" + std::to_string(out.st_ino) == told;
}

bool read_token(const WatchOptions& options, Wishes& out) {
    if (!options.token_file.empty()) need_input("token file", options.token_file, kOpensslMakesTokens);
    auto chosen = page_token(options.token_file.empty() ? std::nullopt : std::optional(read_file(options.token_file)),
                             std::getenv("MASTLINE_TOKEN"), *out.listen);
    if (!chosen.fault.empty()) return turn_down(chosen.fault);
    // What is told in the journal stays there, for all who may read it.
    if (chosen.made_up && writes_to_journal())
        return turn_down("--listen: others can reach " + to_text(*out.listen) + "; give a token with --token-file, such as one "
                      "made by \"openssl rand -hex 16\", or listen on 127.0.0.1");
    out.token = std::move(chosen.token);
    out.token_made_up = chosen.made_up;
    return true;
}

bool read_listen(const WatchOptions& options, Wishes& out) {
    if (options.listen.empty()) return options.token_file.empty() || turn_down("--token-file goes with --listen");
    const auto listen = parse_listen_address(options.listen);
    if (!listen) return turn_down("--listen: " + listen.error().message);
    out.listen = *listen;
    return read_token(options, out);
}

std::optional<Wishes> understand(const WatchOptions& options) {
    Wishes out;
    const auto window = parse_duration(options.window);
    bool good = window && *window >= kShortestWindow && *window <= kLongestWindow;
    if (!good) turn_down("--window: " + (window ? "\"" + options.window + "\" is outside 5 s to 10 min" : window.error().message));
    else out.window = *window;
    good = read_listen(options, out) && good;
    return good ? std::optional(out) : std::nullopt;
}

// Where people look: a screen, or lines.
class Shown {
public:
    explicit Shown(const SharedState& shared) : shared_(shared), lines_{writes_to_journal(), true} {
        lines_.utf8 = lines_.journal || terminal_style(STDOUT_FILENO).utf8;
        if (TerminalScreen::possible()) screen_.emplace();
    }
    // Before anything else of this is used.
    void begin(const std::string& page) {
        if (!page.empty()) choice_.remark = "page at " + page;
        if (screen_) return;
        std::string out = opening_line(shared_.state, lines_);
        if (!page.empty()) out += (lines_.journal ? "<6>" : "") + choice_.remark + "\n";
        std::cout << out << std::flush;
    }
    void look(const std::vector<WatchEvent>& events) {
        if (screen_) return draw();
        std::string out = event_lines(shared_.state, events, lines_);
        if (shared_.state.now() - standing_ >= kStandingEvery) {
            if (standing_ > Duration{}) out += standing_line(shared_.state, lines_);
            standing_ = shared_.state.now();
        }
        std::cout << out << std::flush;
    }
    void keys() {
        if (!screen_) return;
        bool open = true;
        const std::string bytes = screen_->pressed(open);
        if (!open) choice_.quit = true;
        if (bytes.empty()) return;
        for (const auto& key : keys_of(bytes)) choice_ = after_key(std::move(choice_), key, shared_.state, screen_->rows());
        draw();
    }
    bool quit() const { return choice_.quit || (!screen_ && !std::cout); }
    void end() {
        if (!screen_) std::cout << closing_line(shared_.state, lines_) << std::flush;
    }

private:
    void draw() { screen_->draw(live_screen(shared_.state, choice_, screen_->style(), screen_->rows())); }

    const SharedState& shared_;  // only the thread that uses this changes it: reading needs no guard here
    LineStyle lines_;
    std::optional<TerminalScreen> screen_;
    ScreenChoice choice_;
    Duration standing_{};
};

void watch_on(Listening& listening, RollingWatch& watch, SharedState& shared, Shown& shown_to, WatchPages* pages) {
    Duration next = shared.state.start() + kLookEvery;
    while (!StopSignal::came() && !shown_to.quit()) {
        const auto before = std::chrono::steady_clock::now();
        listening.poll(watch, std::chrono::milliseconds(50));
        std::this_thread::sleep_until(before + kPageGather);
        shown_to.keys();
        const Duration now = unix_now();
        // Also where the clock was set back.
        if (now < next && next - now <= kLookEvery) continue;
        next = now + kLookEvery;
        LineupLook look = watch.look(std::max(now, shared.state.now()), listening.blind_to_membership());
        look.own_drops = listening.own_drops();
        std::vector<WatchEvent> events;
        {
            const std::lock_guard lock(shared.guard);
            events = shared.state.update(std::move(look));
        }
        if (shared.stills) shared.stills->step(watch, now);
        if (pages != nullptr) pages->publish(!events.empty());
        shown_to.look(events);
    }
}

ExitStatus run_watch(const WatchOptions& options) {
    const auto wishes = understand(options);
    if (!wishes) return ExitStatus::bad_input;
    if (options.stills) need_still_program();
    const auto plan = open_plan(options.plan);
    if (!plan) return ExitStatus::bad_input;
    need_interface(options.interface);
    const StopSignal stop;
    const auto flows = wanted_flows(*plan);
    const Duration start = unix_now();
    RollingWatch watch(*plan, start, wishes->window);
    const auto listening = options.capture ? listen_by_ring(options.interface, flows) : listen_by_sockets(options.interface, flows);
    SharedState shared{{}, LineupState(*plan, "interface " + options.interface, start), wishes->window};
    if (options.stills) shared.stills = std::make_unique<StillDesk>(plan->flows.size(), still_program());
    std::optional<WatchPages> pages;
    if (wishes->listen) pages.emplace(shared, *wishes->listen, wishes->token);
    Shown shown_to(shared);
    shown_to.begin(pages ? pages->address() + (wishes->token_made_up ? "?token=" + *wishes->token : "") : std::string());
    watch_on(*listening, watch, shared, shown_to, pages ? &*pages : nullptr);
    shown_to.end();
    return ExitStatus::good;
}

}  // namespace

void add_watch_command(CLI::App& app, ExitStatus& status) {
    auto options = std::make_shared<WatchOptions>();
    auto* command = app.add_subcommand("watch", "Goes on verifying: a live screen, a page, metrics.");
    command->add_option("--plan", options->plan, "The plan (plan.toml)")->type_name("PLAN")->required();
    command->add_option("--interface", options->interface, "Network interface to join on")->type_name("IF")->required();
    command->add_option("--window", options->window, "How long a fault stays told at least")->type_name("TIME")->capture_default_str();
    command->add_option("--listen", options->listen, "Serve a page and metrics at this address and port, such as 127.0.0.1:8080")->type_name("ADDRESS:PORT");
    command->add_option("--token-file", options->token_file, "File with the token that the page asks for")->type_name("FILE");
    command->add_flag("--stills", options->stills, "A still of each channel on the page, decoded by a process of its own that is shut in")->needs("--listen");
    command->add_flag("--capture", options->capture, "Listen by the kernel's capture ring (CAP_NET_RAW): sees unasked-for groups too");
    command->footer("On a terminal: arrow keys and Enter open a channel, s changes the order, / finds, q ends. Elsewhere one line per event.\n"
                    "Exit status 0 on q, Ctrl-C or SIGTERM, whatever was seen.\n"
                    "Where others can reach the page it asks for a token: that of --token-file or MASTLINE_TOKEN, or made up\n"
                    "and told at the start.\n\nExamples:\n"
                    "  mastline-probe watch --plan plan/plan.toml --interface eth0\n"
                    "  mastline-probe watch --plan plan/plan.toml --interface eth0 --listen 127.0.0.1:8080\n"
                    "  mastline-probe watch --plan plan/plan.toml --interface eth0 --listen 10.20.0.5:8080 --token-file token --stills");
    command->callback([options, &status] { status = run_watch(*options); });
}

}  // namespace mastline
