// SPDX-License-Identifier: Apache-2.0
#include "planner/sheets/lineup_chart.hpp"

#include <map>

#include "mastline/signal/lane_ref.hpp"
#include "planner/sheets/markup.hpp"

namespace mastline {

namespace {

constexpr std::size_t kRowColumns = 44;

// The channels of one source on one card.
struct Stream {
    std::string numbers, names;
    std::size_t count = 0;
};

class LineupCharter {
public:
    explicit LineupCharter(const PlanIndex& index) : index_(index) {}

    BoxChart run() {
        std::map<std::pair<std::string, std::size_t>, Stream> streams;  // source, card
        for (const auto& carriage : index_.carriages()) {
            if (carriage.home == nullptr || carriage.home->card >= index_.venue().cards.size())
                continue;
            auto& stream = streams[{source_box(carriage), carriage.home->card}];
            const std::string number = to_text(carriage.channel->number);
            stream.numbers += (stream.numbers.empty() ? "" : ", ") + number;
            stream.names += (stream.names.empty() ? "" : ", ") + number + " " + carriage.channel->name;
            ++stream.count;
        }
        for (std::size_t c = 0; c < index_.venue().cards.size(); ++c) {
            bool is_used = false;
            for (const auto& [key, stream] : streams) {
                if (key.second != c) continue;
                if (!is_used) add_card(c);
                is_used = true;
                connect(key.first, c, stream);
            }
        }
        return std::move(chart_);
    }

private:
    // The box of the carrier; of all house inputs together, which have no more to tell.
    std::string source_box(const Carriage& carriage) {
        const auto carrier = carriage.home->carrier;
        const std::string key = carrier ? "carrier " + std::to_string(*carrier) : "house";
        if (sources_.contains(key)) return key;
        sources_[key] = chart_.boxes.size();
        Box box;
        box.id = "f-source-" + std::to_string(sources_.size());
        if (carrier) {
            const Carrier& from = index_.venue().carriers[*carrier];
            box.title = shortened(from.name, 22);
            box.subtitle = shortened("lane " + to_text(LaneRef{from.feed, from.lane}), 28);
            box.hover = "carrier " + from.name + ", " + to_text(from.frequency);
        } else {
            box.title = "house inputs";
            box.subtitle = "encoded";
        }
        chart_.boxes.push_back(std::move(box));
        return key;
    }

    void add_card(std::size_t c) {
        const Card& card = index_.venue().cards[c];
        cards_[c] = chart_.boxes.size();
        Box box;
        box.id = "f-card-" + std::to_string(c);
        box.title = shortened(card.name, 22);
        box.subtitle = shortened(card.model, 28);
        box.target = index_.row_id(card.name);
        box.hover = "card " + card.name + ", " + card.model;
        chart_.boxes.push_back(std::move(box));
    }

    void connect(const std::string& source, std::size_t c, const Stream& stream) {
        auto& from = chart_.boxes[sources_.at(source)];
        auto& to = chart_.boxes[cards_.at(c)];
        chart_.lines.push_back({sources_.at(source), from.right.size(), cards_.at(c), to.left.size(),
                                Fit::untold, BoxLine{}.width, stream.names});
        from.right.push_back({counted(stream.count, "channel", "channels"), Fit::untold, false});
        to.left.push_back({shortened(stream.numbers, kRowColumns), Fit::untold, false});
    }

    const PlanIndex& index_;
    BoxChart chart_;
    std::map<std::string, std::size_t> sources_;
    std::map<std::size_t, std::size_t> cards_;
};

}  // namespace

BoxChart lineup_chart(const PlanIndex& index) { return LineupCharter(index).run(); }

std::string lineup_drawing(const PlanIndex& index) {
    const BoxChart chart = lineup_chart(index);
    if (chart.boxes.empty()) return "";
    return "<div class=\"keep\"><h3>Carriers and inputs to cards</h3>\n" +
           draw_parts(chart, "flow-", "Carriers and inputs to cards",
                      "Each line is one carrier on one card, with the numbers of its channels; the "
                      "same facts stand in the channel map.") +
           "</div>\n";
}

}  // namespace mastline
