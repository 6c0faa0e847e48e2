// SPDX-License-Identifier: Apache-2.0
#include "planner/commands/desk_pages.hpp"

#include <algorithm>
#include <set>
#include <system_error>

#include "mastline/text/escape.hpp"
#include "mastline/text/joined.hpp"
#include "mastline/web/random_text.hpp"
#include "planner/commands/desk_json.hpp"
#include "planner/commands/edits_json.hpp"

namespace mastline {

namespace {

HttpResponse json_response(std::string body) {
    HttpResponse out;
    out.type = "application/json";
    out.body = std::move(body);
    return out;
}

HttpResponse page_response(const ServedSet* sheets, const std::string& base) {
    HttpResponse out;
    const std::string nonce = random_text();
    out.policy = nonce_policy(nonce);
    out.body = sheets == nullptr ? write_empty_page({nonce, ""}) : write_served_page(*sheets, {nonce, base});
    return out;
}

// "HASH,HASH,..."
std::set<std::string> hashes_in(std::string_view list) {
    std::set<std::string> out;
    while (!list.empty()) {
        const auto end = std::min(list.find(','), list.size());
        out.emplace(list.substr(0, end));
        list.remove_prefix(std::min(end + 1, list.size()));
    }
    return out;
}

HttpResponse written_response(const PlannedVenue& on, const AskedEdits& asked) {
    if (asked.base != on.base) return plain_response(409, "the venue was changed in the meantime; look at the new sheets, then try again");
    const auto written = write_edits(on, asked.edits);
    if (!written.refusal.empty()) return plain_response(409, plain_line(written.refusal));
    return plain_response(200, written.files.empty() ? "nothing was to be written" : "written to " + plain_line(joined(written.files)));
}

}  // namespace

void DeskPages::show(DeskView view) {
    const std::lock_guard lock(mutex_);
    view_ = std::move(view);
}

DeskView DeskPages::view() const {
    const std::lock_guard lock(mutex_);
    return view_;
}

std::shared_ptr<const ServedSet> DeskPages::sheets_of(const std::shared_ptr<const PlannedVenue>& planned) const {
    if (!planned) return nullptr;
    const std::lock_guard lock(sheets_mutex_);
    if (drawn_ != planned) {
        sheets_ = std::make_shared<const ServedSet>(make_served_set(planned->opened.venue, planned->plan));
        drawn_ = planned;
    }
    return sheets_;
}

HttpResponse DeskPages::answer(const HttpRequest& request) const {
    return request.method == "POST" ? answer_post(request) : answer_get(request);
}

HttpResponse DeskPages::answer_get(const HttpRequest& request) const {
    const DeskView now = view();
    if (request.path == "/") return page_response(sheets_of(now.planned).get(), now.planned ? now.planned->base : "");
    if (request.path == "/sheets.json" && now.planned) {
        const auto* had = request.parameter("had");
        return json_response(sheets_json(*sheets_of(now.planned), now.planned->base, hashes_in(had == nullptr ? "" : *had)));
    }
    if (request.path == "/desk.json") return json_response(desk_json(now));
    for (const auto& file : served_files()) {
        if (request.path != "/" + std::string(file.name)) continue;
        HttpResponse out;
        out.type = std::string(file.type) + "; charset=utf-8";
        out.body = std::string(file.text);
        return out;
    }
    return plain_response(404, "there is nothing here; the sheets are at /\n");
}

HttpResponse DeskPages::answer_post(const HttpRequest& request) const {
    if (request.path != "/try" && request.path != "/try-sheets" && request.path != "/write")
        return plain_response(404, "nothing is sent here\n");
    const DeskView now = view();
    if (!now.planned) return plain_response(409, "nothing can be tried before the venue's files can be planned");
    try {
        const auto asked = read_edits(request.body);
        if (request.path == "/write") return written_response(*now.planned, asked);
        const auto trial = try_edits(*now.planned, asked.edits, kept_);
        if (request.path == "/try") return json_response(trial_json(asked.edits, trial));
        if (!trial.planned) return plain_response(409, "the venue with these changes has errors");
        const auto& planned = *trial.planned;
        return json_response(sheets_json(make_served_set(planned.opened.venue, planned.plan), planned.base, hashes_in(asked.had)));
    } catch (const EditsFault& fault) {
        return plain_response(400, plain_line(fault.what()));
    } catch (const std::system_error& error) {
        return plain_response(500, "nothing was written: " + plain_line(error.what()));
    }
}

}  // namespace mastline
