// SPDX-License-Identifier: Apache-2.0
#include "mastline/report/junit.hpp"

#include <pugixml.hpp>
#include <sstream>

#include "mastline/text/escape.hpp"

namespace mastline {

namespace {

void attribute(pugi::xml_node& node, const char* name, const std::string& value) {
    node.append_attribute(name).set_value(plain_line(value).c_str());
}

std::string check_text(const Check& c) {
    std::string out = std::string(c.id) + ": " + c.found;
    if (!c.expected.empty()) out += "; expected " + c.expected;
    if (!c.evidence.empty()) out += " (" + c.evidence + ")";
    return plain_line(out);
}

void add_case(pugi::xml_node& suite, const LineupReport& report, const Verdict& v) {
    auto node = suite.append_child("testcase");
    attribute(node, "name", "channel " + channel_text(v.channel, v.copy) + " " + v.name);
    attribute(node, "classname", to_text(v.flow));
    attribute(node, "time", fixed_text(static_cast<double>(report.watched.count()) / 1e9, 3));
    if (v.outcome() == Outcome::failed) {
        auto failure = node.append_child("failure");
        attribute(failure, "type", std::string(v.headline()->id));
        attribute(failure, "message", v.headline()->found);
        std::string text;
        for (const auto& c : v.checks)
            if (c.outcome == Outcome::failed) text += (text.empty() ? "" : "\n") + check_text(c);
        failure.text().set(text.c_str());
    } else if (v.outcome() == Outcome::not_judged) {
        auto skipped = node.append_child("skipped");
        attribute(skipped, "message", v.checks.empty() ? "not judged" : v.checks.front().evidence);
    }
}

void add_querier(pugi::xml_node& suite, const QuerierJudgement& q) {
    auto node = suite.append_child("testcase");
    attribute(node, "name", "querier");
    attribute(node, "classname", "network");
    if (q.check.outcome == Outcome::failed) {
        auto failure = node.append_child("failure");
        attribute(failure, "type", std::string(q.check.id));
        attribute(failure, "message", q.check.found);
        failure.text().set(check_text(q.check).c_str());
    } else if (q.check.outcome == Outcome::not_judged) {
        auto skipped = node.append_child("skipped");
        attribute(skipped, "message", q.check.evidence);
    }
}

}  // namespace

std::string junit_text(const LineupReport& report) {
    pugi::xml_document document;
    auto declaration = document.append_child(pugi::node_declaration);
    declaration.append_attribute("version") = "1.0";
    declaration.append_attribute("encoding") = "UTF-8";
    auto suites = document.append_child("testsuites");
    auto suite = suites.append_child("testsuite");
    const auto of_querier = [&](Outcome o) {
        return std::size_t{report.querier && report.querier->check.outcome == o ? 1U : 0U};
    };
    attribute(suite, "name", report.venue);
    attribute(suite, "tests", std::to_string(report.verdicts.size() + (report.querier ? 1 : 0)));
    attribute(suite, "failures",
              std::to_string(report.count(Outcome::failed) + of_querier(Outcome::failed)));
    attribute(suite, "skipped",
              std::to_string(report.count(Outcome::not_judged) + of_querier(Outcome::not_judged)));
    attribute(suite, "errors", "0");
    for (const auto& v : report.verdicts) add_case(suite, report, v);
    if (report.querier) add_querier(suite, *report.querier);
    std::ostringstream out;
    document.save(out, "  ");
    return out.str();
}

}  // namespace mastline
