// SPDX-License-Identifier: Apache-2.0
// The only file of the planner that includes the server itself.
#include <csignal>
#include <ctime>
#include <cstdlib>
#include <memory>
#include <utility>

#include "mastline/missing_input.hpp"
#include "mastline/usage_error.hpp"
#include "mastline/web/beast_server.hpp"
#include "mastline/web/page_token.hpp"
#include "planner/commands/command.hpp"
#include "planner/commands/desk_pages.hpp"
#include "planner/commands/file_stamps.hpp"
#include "planner/commands/findings_text.hpp"
#include "planner/commands/input_file.hpp"
#include "planner/commands/kept_file.hpp"
#include "planner/commands/output_files.hpp"
#include "planner/commands/plan_progress.hpp"

namespace mastline {

namespace {

constexpr timespec kPause{0, 50'000'000};  // between two looks at the files

struct ServeOptions {
    std::string venue;
    std::string listen = "127.0.0.1:8420";
    std::string keep;        // file name; empty: none
    std::string token_file;  // empty: none
};

// Interrupt and terminate, blocked before any thread starts and taken one by one.
class StopSignals {
public:
    StopSignals() {
        ::sigemptyset(&set_);
        ::sigaddset(&set_, SIGINT);
        ::sigaddset(&set_, SIGTERM);
        ::pthread_sigmask(SIG_BLOCK, &set_, nullptr);
    }
    // Waits for the pause; whether one came.
    bool within(const timespec& pause) const { return ::sigtimedwait(&set_, nullptr, &pause) > 0; }

private:
    sigset_t set_{};
};

std::vector<std::filesystem::path> watched_files(const DeskView& view, const std::string& path) {
    std::error_code unreadable;  // nothing is read then either
    const std::filesystem::path venue(path);
    const auto folder = std::filesystem::is_directory(venue, unreadable) ? venue : venue.parent_path();
    std::vector<std::filesystem::path> out{venue, folder / "venue.toml"};
    for (const auto& name : view.named) out.push_back(folder / name);
    return out;
}

std::optional<KeptPlan> kept_plan(const ServeOptions& options) {
    if (options.keep.empty()) return std::nullopt;
    Findings findings;
    auto kept = kept_file(options.keep, findings);
    if (!kept) throw UsageError(options.keep + " is no plan to keep: " + (findings.empty() ? "" : to_line(findings.front())));
    kept->addresses.today = std::chrono::floor<std::chrono::days>(std::chrono::system_clock::now());
    return kept;
}

ListenAddress listen_address(const ServeOptions& options) {
    const auto listen = parse_listen_address(options.listen);
    if (!listen) throw UsageError("--listen " + listen.error().message);
    return *listen;
}

std::optional<std::string> token_for(const ServeOptions& options, const ListenAddress& listen) {
    std::optional<std::string> file;
    if (!options.token_file.empty() && !(file = read_file(options.token_file)))
        miss_input("token file", options.token_file, kOpensslMakesTokens);
    auto out = page_token(file, std::getenv("MASTLINE_TOKEN"), listen);
    if (!out.fault.empty()) throw UsageError(out.fault);
    return out.token;
}

std::string address_text(const ListenAddress& listen, std::uint16_t port, const std::optional<std::string>& token) {
    return "http://" + to_text(ListenAddress{listen.address, port}) + "/" + (token ? "?token=" + *token : "");
}

std::string news(const DeskView& view) {
    if (view.faults.empty()) return "planned in " + number_text(view.planned->planned_ms, 0) + " ms\n";
    return findings_text(view.faults, terminal_style()) + counts_text(view.faults) + "\n";
}

struct NewerSave {};

// Reads and plans whenever a file was changed and has come to rest. Files that a save names for the first time
// have not been looked at before it: all are read once more then. A plan that is overtaken by a save is given up.
void follow_files(const ServeOptions& options, const std::optional<KeptPlan>& kept, const StopSignals& stop, DeskPages& pages,
                  HttpServer& server) {
    auto files = watched_files(pages.view(), options.venue);
    std::vector<FileStamp> read, last;  // none: what came in since the last reading is found
    while (!stop.within(kPause)) {
        const auto now = stamps_of(files);
        const bool at_rest = now == last;
        last = now;
        if (!at_rest || now == read) continue;
        read = now;
        const auto before = pages.view();
        DeskView view;
        bool told = false;
        try {
            view = next_view(before, options.venue, kept, [&](PlanStep) {
                if (stamps_of(files) != read) throw NewerSave{};
                if (!std::exchange(told, true)) server.publish({"planning", number_text(before.planned ? before.planned->planned_ms : 0, 0)});
            });
        } catch (const NewerSave&) {
            if (told) server.publish({"desk", std::to_string(before.version)});
            continue;
        }
        if (auto named = watched_files(view, options.venue); named != files) {
            files = std::move(named);
            read.clear(), last.clear();
        }
        if (!told && (view.version == before.version || (view.texts == before.texts && view.faults == before.faults))) continue;
        print(news(view));
        const auto version = std::to_string(view.version);
        pages.show(std::move(view));
        server.publish({"desk", version});
    }
}

ExitStatus run_serve(const ServeOptions& options) {
    const auto listen = listen_address(options);
    const auto token = token_for(options, listen);
    const auto kept = kept_plan(options);
    std::optional<PlanProgress> progress(false);
    auto view = next_view({}, options.venue, kept, progress->sink());
    progress.reset();
    if (view.texts.empty()) throw UsageError(view.faults.front().what);
    const StopSignals stop;
    DeskPages pages(kept);
    HttpServerOptions http;
    http.listen = listen;
    http.token = token;
    http.handler = [&pages](const HttpRequest& request) { return pages.answer(request); };
    http.greeting = [&pages] { return std::vector<ServerEvent>{{"desk", std::to_string(pages.view().version)}}; };
    print(news(view));
    pages.show(std::move(view));
    const auto server = start_http_server(std::move(http));
    print("the sheets are at " + address_text(listen, server->port(), token) + "\n");
    follow_files(options, kept, stop, pages, *server);
    return ExitStatus::good;
}

}  // namespace

Command serve_command() {
    const auto options = std::make_shared<ServeOptions>();
    return {"serve",
        "Show the sheets in a browser, planned anew with each save of the files",
        {{"VENUE", "Folder of the venue, or its venue.toml", &options->venue, true},
         {"--listen", "Address and port of the page; beyond this machine a token is needed", &options->listen, false, "ADDRESS:PORT"},
         {"--token-file", "File with the token that the page asks for", &options->token_file, false, "FILE"},
         {"--keep", "An earlier plan.toml: channels stay on their cards and groups where they can", &options->keep, false, "PLAN"}},
        "The page keeps its place when the plan changes and marks what changed; errors of the files\n"
        "stand over the sheets where they belong. On the trial slip trims, pads, cards and links are\n"
        "changed without touching a file; what is wanted is then written into the venue's files, with\n"
        "their comments and order kept. A file that was changed in the meantime is not written.\n"
        "Port 0 is any free one. The token is that of --token-file or MASTLINE_TOKEN, or made up\n"
        "and told at the start.\n\n"
        "Examples:\n"
        "  mastline-planner serve arena\n"
        "  mastline-planner serve arena --listen 127.0.0.1:0 --keep arena-plan/plan.toml\n\n"
        "Exit status: 0 stopped by interrupt or terminate, 2 no venue or wrong usage, 3 the machine refused.",
        [options] { return run_serve(*options); }};
}

}  // namespace mastline
