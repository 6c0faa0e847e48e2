// SPDX-License-Identifier: Apache-2.0
// What the server of a desk answers: the page of the sheets, its files, the state, trials and writing.
#pragma once

#include <memory>
#include <mutex>

#include "mastline/sheets/served_page.hpp"
#include "mastline/web/http.hpp"
#include "planner/commands/desk.hpp"

namespace mastline {

class DeskPages {
public:
    explicit DeskPages(std::optional<KeptPlan> kept) : kept_(std::move(kept)) {}

    // What is answered from now on. Any thread.
    void show(DeskView view);
    DeskView view() const;

    // "/": the page; "/sheets.json?had=HASH,...": the sheets, those had in name only; "/desk.json"; "/page.css"
    // and the like; POST "/try", "/try-sheets" and "/write" with edits as read_edits() takes them. Any thread.
    HttpResponse answer(const HttpRequest& request) const;

private:
    HttpResponse answer_get(const HttpRequest& request) const;
    HttpResponse answer_post(const HttpRequest& request) const;
    // Of the plan that is shown; made when first asked for.
    std::shared_ptr<const ServedSet> sheets_of(const std::shared_ptr<const PlannedVenue>& planned) const;

    std::optional<KeptPlan> kept_;
    mutable std::mutex mutex_;
    DeskView view_;
    mutable std::mutex sheets_mutex_;
    mutable std::shared_ptr<const PlannedVenue> drawn_;  // what sheets_ were made of
    mutable std::shared_ptr<const ServedSet> sheets_;
};

}  // namespace mastline
