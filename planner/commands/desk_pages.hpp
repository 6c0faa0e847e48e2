// SPDX-License-Identifier: Apache-2.0
// What the server of a desk answers: the page of the sheets, its files, the state, trials and writing.
#pragma once

#include <mutex>

#include "mastline/web/http.hpp"
#include "planner/commands/desk.hpp"

namespace mastline {

class DeskPages {
public:
    explicit DeskPages(std::optional<KeptPlan> kept) : kept_(std::move(kept)) {}

    // What is answered from now on. Any thread.
    void show(DeskView view);
    DeskView view() const;

    // "/" and "/sheets.html": the page; "/desk.json"; "/page.css" and the like; POST "/try", "/try.html" and
    // "/write" with edits as read_edits() takes them. Any thread.
    HttpResponse answer(const HttpRequest& request) const;

private:
    HttpResponse answer_get(const HttpRequest& request) const;
    HttpResponse answer_post(const HttpRequest& request) const;

    std::optional<KeptPlan> kept_;
    mutable std::mutex mutex_;
    DeskView view_;
};

}  // namespace mastline
