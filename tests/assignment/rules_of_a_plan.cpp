// SPDX-License-Identifier: Apache-2.0
#include "assignment/rules_of_a_plan.hpp"

#include <algorithm>
#include <map>
#include <set>

#include "assignment/integer_model.hpp"

namespace mastline::test {

namespace {

using namespace packing;

struct Load {
    int licences = 0;
    std::set<std::size_t> classes;
    std::int64_t rate[2] = {0, 0};
};

class Checker {
public:
    Checker(const Model& model, const std::vector<Homes>& homes, const std::vector<std::size_t>& used)
        : model_(model), homes_(homes), used_(used), load_(model.bins.size()) {}

    std::vector<std::string> run() {
        if (homes_.size() != model_.items.size()) return {"homes and items differ in number"};
        for (std::size_t i = 0; i < homes_.size(); ++i) check_item(i);
        if (!out_.empty()) return out_;
        for (std::size_t b = 0; b < load_.size(); ++b) check_bin(b);
        for (const auto& limit : model_.limits) check_limit(limit);
        for (const auto& [a, b] : model_.apart) check_apart(a, b);
        check_spread();
        if (out_.empty() && model_.reserve) check_reserve();
        return out_;
    }

private:
    void check_item(std::size_t i) {
        const auto& item = model_.items[i];
        const std::string name = "item " + std::to_string(i);
        for (int k = 0; k < 2; ++k) {
            const auto& home = homes_[i][static_cast<std::size_t>(k)];
            if (home.has_value() != (k < item.copies)) out_.push_back(name + " has a wrong number of copies");
            if (!home) continue;
            if (!model_.allowed[item.item_class][*home]) out_.push_back(name + " is where its source does not come");
            auto& load = load_[*home];
            ++load.licences;
            load.classes.insert(item.item_class);
            for (int layer = 0; layer < 2; ++layer) load.rate[layer] += item.rate[static_cast<std::size_t>(layer)];
        }
        for (std::size_t k = 0; k < 2; ++k)
            if (item.pinned[k] && homes_[i][k] != item.pinned[k]) out_.push_back(name + " is not where it is asked for");
        if (homes_[i][0] && homes_[i][1] && model_.bins[*homes_[i][0]].loss_group == model_.bins[*homes_[i][1]].loss_group)
            out_.push_back(name + " has both copies lost at once");
    }

    void check_bin(std::size_t b) {
        const auto& bin = model_.bins[b];
        const auto& load = load_[b];
        const std::string name = "bin " + std::to_string(b);
        if (load.licences > bin.licences) out_.push_back(name + " has too few licences");
        if (static_cast<int>(load.classes.size()) > bin.tuners) out_.push_back(name + " has too few tuners");
        if (bin.rate_limit && load.rate[bin.layer] > *bin.rate_limit) out_.push_back(name + " sends too much");
        if (load.licences > 0 && std::count(used_.begin(), used_.end(), b) != 1) out_.push_back(name + " is not counted");
    }

    void check_limit(const Limit& limit) {
        std::int64_t sum = 0;
        for (const auto b : limit.bins)
            sum += limit.kind == Limit::Kind::licences ? load_[b].licences
                   : limit.kind == Limit::Kind::rate   ? load_[b].rate[0]
                                                       : std::count(used_.begin(), used_.end(), b);
        if (sum > limit.most) out_.push_back("a common limit is passed");
    }

    void check_apart(std::size_t a, std::size_t b) {
        for (const auto& x : homes_[a])
            for (const auto& y : homes_[b])
                if (x && x == y) out_.push_back("items that are to be apart share a bin");
    }

    void check_spread() {
        std::map<std::size_t, std::vector<std::size_t>> genres;
        for (std::size_t i = 0; i < model_.items.size(); ++i)
            if (model_.items[i].genre) genres[*model_.items[i].genre].push_back(i);
        for (const auto& [genre, items] : genres)
            for (std::size_t b = 0; items.size() > 1 && b < model_.bins.size(); ++b)
                if (std::all_of(items.begin(), items.end(), [&](std::size_t i) { return homes_[i][0] == b || homes_[i][1] == b; }))
                    out_.push_back("a genre is all in one bin");
    }

    void check_reserve() {
        std::set<std::size_t> groups;
        for (const auto b : used_) groups.insert(model_.bins[b].loss_group);
        for (const auto group : groups)
            if (survives(model_, homes_, used_, group) != Answer::yes)
                out_.push_back("loss group " + std::to_string(group) + " is not survived");
    }

    const Model& model_;
    const std::vector<Homes>& homes_;
    const std::vector<std::size_t>& used_;
    std::vector<Load> load_;
    std::vector<std::string> out_;
};

}  // namespace

std::vector<std::string> faults_of(const Model& model, const std::vector<Homes>& homes,
                                   const std::vector<std::size_t>& used) {
    return Checker(model, homes, used).run();
}

}  // namespace mastline::test
