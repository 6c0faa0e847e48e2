// SPDX-License-Identifier: Apache-2.0
#include "mastline/report/metrics.hpp"

#include "mastline/text/escape.hpp"
#include "mastline/units/unit_text.hpp"

namespace mastline {

namespace {

// One family of samples. The two formats differ in the names of counters, in units and in the end.
class Family {
public:
    Family(std::string& out, MetricsFormat format, std::string name, bool counter, std::string_view unit, std::string_view help)
        : out_(out), sample_name_(name + (counter ? "_total" : "")) {
        const bool open = format == MetricsFormat::open_metrics;
        const std::string& family = open ? name : sample_name_;
        out_ += "# TYPE " + family + (counter ? " counter\n" : " gauge\n");
        if (open && !unit.empty()) out_ += "# UNIT " + family + " " + std::string(unit) + "\n";
        out_ += "# HELP " + family + " " + std::string(help) + "\n";
    }
    void add(const std::string& labels, const std::string& value) {
        out_ += sample_name_ + (labels.empty() ? "" : "{" + labels + "}") + " " + value + "\n";
    }

private:
    std::string& out_;
    std::string sample_name_;
};

// OpenMetrics 1.0, "escaped-string": backslash, quote and line feed. plain_line leaves no line feed.
std::string label(std::string_view name, std::string_view value) {
    std::string out = std::string(name) + "=\"";
    for (const char c : plain_line(value)) {
        if (c == '\\' || c == '"') out += '\\';
        out += c;
    }
    return out + "\"";
}

std::string seconds_value(Duration d) { return number_text(static_cast<double>(d.count()) / 1e9, 3); }

std::string channel_labels(const Verdict& v) {
    return label("channel", v.channel) + "," + label("copy", std::to_string(v.copy));
}

class Writer {
public:
    Writer(const LineupState& state, MetricsFormat format) : state_(state), format_(format) {}

    Family family(const std::string& name, bool counter, std::string_view unit, std::string_view help) {
        return {out_, format_, "mastline_" + name, counter, unit, help};
    }
    template <class F>
    void per_channel(const std::string& name, bool counter, std::string_view unit, std::string_view help, F&& value) {
        Family f = family(name, counter, unit, help);
        for (const auto& c : state_.channels())
            if (const std::string text = value(c); !text.empty()) f.add(channel_labels(c.look.verdict), text);
    }
    void channel_info() {
        Family f = family("channel_info", false, {}, "Name and address of each channel of the plan; always 1.");
        for (const auto& c : state_.channels()) {
            const Verdict& v = c.look.verdict;
            f.add(channel_labels(v) + "," + label("name", v.name) + "," + label("group", to_text(v.flow.group)) + "," +
                      label("port", std::to_string(v.flow.port.number)), "1");
        }
    }
    void failed_checks() {
        Family f = family("channel_check_failed", false, {}, "1 for each check that a channel fails now; no sample for the others.");
        for (const auto& c : state_.channels())
            for (const auto& check : c.look.verdict.checks)
                if (check.outcome == Outcome::failed) f.add(channel_labels(c.look.verdict) + "," + label("check", check.id), "1");
    }
    std::string take() {
        if (format_ == MetricsFormat::open_metrics) out_ += "# EOF\n";
        return std::move(out_);
    }

private:
    const LineupState& state_;
    MetricsFormat format_;
    std::string out_;
};

void write_channels(Writer& w) {
    w.channel_info();
    w.per_channel("channel_failed", false, {}, "1 while the channel fails a check of its plan.",
                  [](const ChannelState& c) { return std::string(c.outcome == Outcome::failed ? "1" : "0"); });
    w.per_channel("channel_judged", false, {}, "0 while it cannot be told whether the channel is right.",
                  [](const ChannelState& c) { return std::string(c.outcome == Outcome::not_judged ? "0" : "1"); });
    w.failed_checks();
    w.per_channel("channel_failures", true, {}, "How often the channel began to fail.",
                  [](const ChannelState& c) { return std::to_string(c.failures); });
    w.per_channel("channel_failed_seconds", true, "seconds", "How long the channel has failed altogether.",
                  [](const ChannelState& c) { return seconds_value(c.failed_for); });
    w.per_channel("channel_rate_bytes_per_second", false, "bytes_per_second", "Transport rate of about the last second, null packets included.",
                  [](const ChannelState& c) { return c.look.rate ? std::to_string(c.look.rate->bits_per_second() / 8) : std::string(); });
    w.per_channel("channel_received_datagrams", true, "datagrams", "Datagrams that arrived for the channel.",
                  [](const ChannelState& c) { return std::to_string(c.look.counts.datagrams); });
    w.per_channel("channel_lost_datagrams", true, "datagrams", "Datagrams missing by their RTP sequence numbers.",
                  [](const ChannelState& c) { return std::to_string(c.look.counts.lost); });
    w.per_channel("channel_continuity_errors", true, "errors", "Continuity errors of the transport stream (TR 101 290, 1.4).",
                  [](const ChannelState& c) { return std::to_string(c.look.counts.continuity_errors); });
}

void write_watch(Writer& w, const LineupState& state, Duration window) {
    w.family("plan_info", false, {}, "Venue and revision of the plan that is watched; always 1.")
        .add(label("venue", state.lineup().venue) + "," + label("revision", state.lineup().revision), "1");
    if (state.querier().outcome != Outcome::not_judged)
        w.family("network_querier_failed", false, {}, "1 while the network has no querier, or two; no sample where it cannot be told.")
            .add({}, state.querier().outcome == Outcome::failed ? "1" : "0");
    w.family("watch_dropped_datagrams", true, "datagrams", "Datagrams that the watching machine itself dropped.")
        .add({}, std::to_string(state.own_drops()));
    w.family("watch_window_seconds", false, "seconds", "Shortest time that a fault stays told.").add({}, seconds_value(window));
    w.family("watch_start_timestamp_seconds", false, "seconds", "When the watch began, since the Unix epoch.").add({}, seconds_value(state.start()));
    w.family("watch_look_timestamp_seconds", false, "seconds", "When the channels were judged last, since the Unix epoch.").add({}, seconds_value(state.now()));
}

}  // namespace

MetricsFormat metrics_format(std::string_view accept) {
    return accept.find("application/openmetrics-text") == std::string_view::npos ? MetricsFormat::plain : MetricsFormat::open_metrics;
}

std::string_view metrics_type(MetricsFormat format) {
    return format == MetricsFormat::open_metrics ? "application/openmetrics-text; version=1.0.0; charset=utf-8"
                                                 : "text/plain; version=0.0.4; charset=utf-8";
}

std::string metrics_text(const LineupState& state, Duration window, MetricsFormat format) {
    Writer w(state, format);
    write_watch(w, state, window);
    write_channels(w);
    return w.take();
}

}  // namespace mastline
