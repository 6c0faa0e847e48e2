// SPDX-License-Identifier: Apache-2.0
#include "assignment/integer_model.hpp"

#include <coin/Cbc_C_Interface.h>
#include <glpk.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <memory>
#include <set>
#include <tuple>

namespace mastline::test {

namespace {

using namespace packing;

struct Variable {
    double low, high, cost;
    bool whole;
};

struct Row {
    std::vector<std::pair<int, double>> terms;
    double low, high;
};

constexpr double kFree = 1e30;

struct Program {
    std::vector<Variable> variables;
    std::vector<Row> rows;

    int add(double low, double high, double cost = 0, bool whole = true) {
        variables.push_back({low, high, cost, whole});
        return static_cast<int>(variables.size()) - 1;
    }
    void at_most(std::vector<std::pair<int, double>> terms, double high) { rows.push_back({std::move(terms), -kFree, high}); }
    void equal(std::vector<std::pair<int, double>> terms, double value) { rows.push_back({std::move(terms), value, value}); }
};

struct Outcome {
    Answer answer = Answer::unknown;  // yes: solved to the optimum, or to any plan where that is asked for
    double objective = 0;
};

Outcome by_cbc(const Program& program, double seconds, bool any) {
    std::vector<std::map<int, double>> columns(program.variables.size());
    for (std::size_t r = 0; r < program.rows.size(); ++r)
        for (const auto& [v, factor] : program.rows[r].terms) columns[static_cast<std::size_t>(v)][static_cast<int>(r)] += factor;
    std::vector<CoinBigIndex> starts{0};
    std::vector<int> index;
    std::vector<double> value, low, high, cost, row_low, row_high;
    for (const auto& column : columns) {
        for (const auto& [r, factor] : column) index.push_back(r), value.push_back(factor);
        starts.push_back(static_cast<CoinBigIndex>(index.size()));
    }
    for (const auto& v : program.variables) low.push_back(v.low), high.push_back(v.high), cost.push_back(v.cost);
    for (const auto& r : program.rows) row_low.push_back(r.low), row_high.push_back(r.high);
    const std::unique_ptr<void, void (*)(void*)> model(Cbc_newModel(), [](void* m) { Cbc_deleteModel(m); });
    Cbc_loadProblem(model.get(), static_cast<int>(low.size()), static_cast<int>(row_low.size()), starts.data(),
                    index.data(), value.data(), low.data(), high.data(), cost.data(), row_low.data(), row_high.data());
    for (std::size_t v = 0; v < low.size(); ++v)
        if (program.variables[v].whole) Cbc_setInteger(model.get(), static_cast<int>(v));
    Cbc_setParameter(model.get(), "log", "0");
    Cbc_setParameter(model.get(), "seconds", std::to_string(seconds).c_str());
    if (any) Cbc_setParameter(model.get(), "maxSolutions", "1");
    Cbc_solve(model.get());
    if (Cbc_isProvenInfeasible(model.get()) != 0) return {Answer::no, 0};
    const bool settled = Cbc_isProvenOptimal(model.get()) != 0 || (any && Cbc_bestSolution(model.get()) != nullptr);
    return {settled ? Answer::yes : Answer::unknown, Cbc_getObjValue(model.get())};
}

Outcome by_glpk(const Program& program, double seconds, bool any) {
    const std::unique_ptr<glp_prob, void (*)(glp_prob*)> lp(glp_create_prob(), glp_delete_prob);
    glp_term_out(GLP_OFF);
    glp_add_cols(lp.get(), static_cast<int>(program.variables.size()));
    for (std::size_t v = 0; v < program.variables.size(); ++v) {
        const auto& var = program.variables[v];
        const int column = static_cast<int>(v) + 1;
        glp_set_col_kind(lp.get(), column, var.whole ? GLP_IV : GLP_CV);
        glp_set_col_bnds(lp.get(), column, var.low == var.high ? GLP_FX : GLP_DB, var.low, var.high);
        glp_set_obj_coef(lp.get(), column, var.cost);
    }
    for (const auto& row : program.rows) {
        const int r = glp_add_rows(lp.get(), 1);
        std::map<int, double> sums;
        for (const auto& [v, factor] : row.terms) sums[v + 1] += factor;
        std::vector<int> index{0};
        std::vector<double> value{0};
        for (const auto& [v, factor] : sums) index.push_back(v), value.push_back(factor);
        glp_set_mat_row(lp.get(), r, static_cast<int>(sums.size()), index.data(), value.data());
        glp_set_row_bnds(lp.get(), r, row.low == row.high ? GLP_FX : GLP_UP, row.low, row.high);
    }
    glp_iocp options;
    glp_init_iocp(&options);
    options.msg_lev = GLP_MSG_OFF;
    options.presolve = GLP_ON;
    options.tm_lim = static_cast<int>(seconds * 1000);
    options.gmi_cuts = options.mir_cuts = GLP_ON;
    if (any) options.mip_gap = 1e9;
    const int failure = glp_intopt(lp.get(), &options);
    if (failure == GLP_ENOPFS || (failure == 0 && glp_mip_status(lp.get()) == GLP_NOFEAS)) return {Answer::no, 0};
    const int status = glp_mip_status(lp.get());
    const bool settled = failure != GLP_ETMLIM && (status == GLP_OPT || (any && status == GLP_FEAS));
    return {settled ? Answer::yes : Answer::unknown, glp_mip_obj_val(lp.get())};
}

Outcome solved(const Program& program, double seconds, Solver solver, bool any) {
    return solver == Solver::cbc ? by_cbc(program, seconds, any) : by_glpk(program, seconds, any);
}

// Items that are alike in all that a rule looks at.
std::vector<std::vector<std::size_t>> like_items(const Model& model) {
    std::set<std::size_t> in_pair;
    for (const auto& [a, b] : model.apart) in_pair.insert({a, b});
    bool rates = false;
    for (const auto& bin : model.bins) rates = rates || bin.rate_limit;
    for (const auto& limit : model.limits) rates = rates || limit.kind == Limit::Kind::rate;
    const auto plus_one = [](const std::optional<std::size_t>& o) { return o ? *o + 1 : 0; };
    std::map<std::vector<std::uint64_t>, std::vector<std::size_t>> found;
    for (std::size_t i = 0; i < model.items.size(); ++i) {
        const auto& item = model.items[i];
        found[{item.item_class, item.is_protected, static_cast<std::uint64_t>(item.copies), plus_one(item.pinned[0]),
               plus_one(item.pinned[1]), plus_one(item.previous[0]), plus_one(item.previous[1]), plus_one(item.genre), rates ? static_cast<std::uint64_t>(item.rate[0]) : 0,
               rates ? static_cast<std::uint64_t>(item.rate[1]) : 0, in_pair.contains(i) ? i + 1 : 0}]
            .push_back(i);
    }
    std::vector<std::vector<std::size_t>> out;
    for (auto& [key, items] : found) out.push_back(std::move(items));
    return out;
}

class Whole {
public:
    Whole(const Model& model, bool count_moves)
        : model_(model), groups_(like_items(model)), bins_(model.bins.size()), moves_(count_moves) {
        for (std::size_t b = 0; b < bins_; ++b) u_.push_back(p_.add(0, 1, moves_ ? 0 : cost(b)));
        first_ = second_ = std::vector<std::vector<int>>(groups_.size(), std::vector<int>(bins_, -1));
        z_.assign(model.allowed.size(), std::vector<int>(bins_, -1));
        for (std::size_t g = 0; g < groups_.size(); ++g) add_group(g);
        for (std::size_t b = 0; b < bins_; ++b) add_bin(b);
        for (const auto& limit : model.limits) add_limit(limit);
        add_apart();
        add_spread();
        if (!moves_) order_like_bins();
        if (model.reserve)
            for (std::size_t b = 0; b < bins_; ++b)
                if (groups_lost_.insert(model.bins[b].loss_group).second) add_loss(model.bins[b].loss_group);
    }

    Program& program() { return p_; }
    void cost_at_most(std::int64_t most) {
        std::vector<std::pair<int, double>> row;
        for (std::size_t b = 0; b < bins_; ++b) row.emplace_back(u_[b], cost(b));
        p_.at_most(std::move(row), static_cast<double>(most));
    }
    int with_previous() const {
        int out = 0;
        for (const auto& item : model_.items) out += item.previous[0].has_value() + item.previous[1].has_value();
        return out;
    }

private:
    double cost(std::size_t b) const { return static_cast<double>(model_.bins[b].cost); }
    const Item& of(std::size_t g) const { return model_.items[groups_[g].front()]; }
    double size(std::size_t g) const { return static_cast<double>(groups_[g].size()); }
    double rate(std::size_t g, std::size_t layer) const { return static_cast<double>(of(g).rate[layer]) / 1e5; }

    void add_group(std::size_t g) {
        const auto& item = of(g);
        std::vector<std::pair<int, double>> firsts, seconds;
        std::map<std::size_t, std::vector<std::pair<int, double>>> by_loss;
        for (std::size_t b = 0; b < bins_; ++b) {
            if (!model_.allowed[item.item_class][b]) continue;
            if (z_[item.item_class][b] < 0) z_[item.item_class][b] = p_.add(0, 1);
            if (!item.pinned[0] || *item.pinned[0] == b) {
                first_[g][b] = p_.add(0, size(g), moves_ && item.previous[0] == b ? -1 : 0);
                firsts.emplace_back(first_[g][b], 1);
                by_loss[model_.bins[b].loss_group].emplace_back(first_[g][b], 1);
                p_.at_most({{first_[g][b], 1}, {z_[item.item_class][b], -std::min<double>(size(g), model_.bins[b].licences)}}, 0);
            }
            if (item.copies == 2 && (!item.pinned[1] || *item.pinned[1] == b)) {
                second_[g][b] = p_.add(0, size(g), moves_ && item.previous[1] == b ? -1 : 0);
                seconds.emplace_back(second_[g][b], 1);
                by_loss[model_.bins[b].loss_group].emplace_back(second_[g][b], 1);
                p_.at_most({{second_[g][b], 1}, {z_[item.item_class][b], -std::min<double>(size(g), model_.bins[b].licences)}}, 0);
            }
        }
        p_.equal(firsts, size(g));
        if (item.copies < 2) return;
        p_.equal(seconds, size(g));
        for (auto& [loss, row] : by_loss) p_.at_most(row, size(g));
    }

    void add_bin(std::size_t b) {
        const auto& bin = model_.bins[b];
        std::vector<std::pair<int, double>> items{{u_[b], -bin.licences}}, tuned{{u_[b], -bin.tuners}}, rates;
        for (std::size_t g = 0; g < groups_.size(); ++g)
            for (const int v : {first_[g][b], second_[g][b]})
                if (v >= 0) items.emplace_back(v, 1), rates.emplace_back(v, rate(g, bin.layer));
        for (const auto& row : z_)
            if (row[b] >= 0) tuned.emplace_back(row[b], 1), p_.at_most({{row[b], 1}, {u_[b], -1}}, 0);
        p_.at_most(items, 0);
        p_.at_most(tuned, 0);
        if (bin.rate_limit) p_.at_most(rates, static_cast<double>(*bin.rate_limit) / 1e5);
    }

    void add_limit(const Limit& limit) {
        std::vector<std::pair<int, double>> row;
        for (const auto b : limit.bins) {
            if (limit.kind == Limit::Kind::bins) row.emplace_back(u_[b], 1);
            else
                for (std::size_t g = 0; g < groups_.size(); ++g)
                    for (const int v : {first_[g][b], second_[g][b]})
                        if (v >= 0) row.emplace_back(v, limit.kind == Limit::Kind::rate ? rate(g, 0) : 1);
        }
        p_.at_most(row, most_of(limit));
    }

    static double most_of(const Limit& limit) {
        return static_cast<double>(limit.most) / (limit.kind == Limit::Kind::rate ? 1e5 : 1);
    }

    void add_apart() {
        std::map<std::size_t, std::size_t> group;
        for (std::size_t g = 0; g < groups_.size(); ++g)
            for (const auto i : groups_[g]) group[i] = g;
        for (const auto& [i, j] : model_.apart)
            for (std::size_t b = 0; b < bins_; ++b)
                for (const int v : {first_[group[i]][b], second_[group[i]][b]})
                    for (const int w : {first_[group[j]][b], second_[group[j]][b]})
                        if (v >= 0 && w >= 0) p_.at_most({{v, 1}, {w, 1}}, 1);
    }

    void add_spread() {
        std::map<std::size_t, double> total;
        for (const auto& item : model_.items)
            if (item.genre) total[*item.genre] += 1;
        for (const auto& [genre, n] : total)
            for (std::size_t b = 0; n > 1 && b < bins_; ++b) {
                std::vector<std::pair<int, double>> row;
                for (std::size_t g = 0; g < groups_.size(); ++g)
                    for (const int v : {first_[g][b], second_[g][b]})
                        if (v >= 0 && of(g).genre == genre) row.emplace_back(v, 1);
                p_.at_most(row, n - 1);
            }
    }

    // Of bins that nothing tells apart, those used come first.
    void order_like_bins() {
        std::map<std::size_t, int> lost_together;
        std::set<std::size_t> named;
        for (const auto& bin : model_.bins) ++lost_together[bin.loss_group];
        for (const auto& item : model_.items)
            for (const auto& bin : item.pinned)
                if (bin) named.insert(*bin);
        std::map<std::vector<std::int64_t>, std::size_t> last;
        for (std::size_t b = 0; b < bins_; ++b) {
            const auto& bin = model_.bins[b];
            if (lost_together[bin.loss_group] > 1 || named.contains(b)) continue;
            std::vector<std::int64_t> key{bin.licences, bin.tuners, bin.rate_limit.value_or(-1), static_cast<std::int64_t>(bin.layer), bin.cost};
            for (const auto& row : model_.allowed) key.push_back(row[b]);
            for (const auto& limit : model_.limits) key.push_back(std::count(limit.bins.begin(), limit.bins.end(), b));
            const auto [at, fresh] = last.try_emplace(key, b);
            if (!fresh) p_.at_most({{u_[b], 1}, {u_[at->second], -1}}, 0);
            at->second = b;
        }
    }

    // After the loss every protected item of it is in a bin that is in use; the others stay.
    void add_loss(std::size_t loss) {
        std::vector<std::vector<int>> y(groups_.size(), std::vector<int>(bins_, -1));
        std::vector<std::vector<int>> w(model_.allowed.size(), std::vector<int>(bins_, -1));
        for (std::size_t g = 0; g < groups_.size(); ++g) {
            if (!of(g).is_protected) continue;
            std::vector<std::pair<int, double>> balance;
            for (std::size_t b = 0; b < bins_; ++b) {
                const auto c = of(g).item_class;
                if (!model_.allowed[c][b]) continue;
                if (model_.bins[b].loss_group == loss) {
                    if (first_[g][b] >= 0) balance.emplace_back(first_[g][b], -1);
                    continue;
                }
                y[g][b] = p_.add(0, size(g));
                if (w[c][b] < 0) w[c][b] = p_.add(0, 1);
                balance.emplace_back(y[g][b], 1);
                p_.at_most({{y[g][b], 1}, {w[c][b], -size(g)}, {z_[c][b], -size(g)}}, 0);
            }
            p_.equal(balance, 0);
        }
        for (std::size_t b = 0; b < bins_; ++b)
            if (model_.bins[b].loss_group != loss) add_survivor(b, y, w);
        for (const auto& limit : model_.limits)
            if (limit.kind != Limit::Kind::bins) add_limit_after(limit, loss, y);
        for (const auto& [i, j] : model_.apart)
            for (std::size_t b = 0; b < bins_; ++b) {
                std::vector<std::pair<int, double>> row;
                for (const auto g : {group_of(i), group_of(j)})
                    for (const int v : {first_[g][b], y[g][b]})
                        if (v >= 0) row.emplace_back(v, 1);
                if (model_.bins[b].loss_group != loss) p_.at_most(row, 1);
            }
    }

    std::size_t group_of(std::size_t item) const {
        std::size_t g = 0;
        while (std::count(groups_[g].begin(), groups_[g].end(), item) == 0) ++g;
        return g;
    }

    void add_survivor(std::size_t b, const std::vector<std::vector<int>>& y, const std::vector<std::vector<int>>& w) {
        const auto& bin = model_.bins[b];
        std::vector<std::pair<int, double>> items{{u_[b], -bin.licences}}, tuned{{u_[b], -bin.tuners}}, rates;
        for (std::size_t g = 0; g < groups_.size(); ++g)
            for (const int v : {first_[g][b], y[g][b]})
                if (v >= 0) items.emplace_back(v, 1), rates.emplace_back(v, rate(g, bin.layer));
        for (std::size_t c = 0; c < z_.size(); ++c)
            for (const int v : {z_[c][b], w[c][b]})
                if (v >= 0) tuned.emplace_back(v, 1);
        p_.at_most(items, 0);
        p_.at_most(tuned, 0);
        if (bin.rate_limit) p_.at_most(rates, static_cast<double>(*bin.rate_limit) / 1e5);
    }

    void add_limit_after(const Limit& limit, std::size_t loss, const std::vector<std::vector<int>>& y) {
        std::vector<std::pair<int, double>> row;
        for (const auto b : limit.bins)
            for (std::size_t g = 0; g < groups_.size() && model_.bins[b].loss_group != loss; ++g)
                for (const int v : {first_[g][b], y[g][b]})
                    if (v >= 0) row.emplace_back(v, limit.kind == Limit::Kind::rate ? rate(g, 0) : 1);
        p_.at_most(row, most_of(limit));
    }

    const Model& model_;
    std::vector<std::vector<std::size_t>> groups_;
    std::size_t bins_;
    bool moves_;
    Program p_;
    std::vector<int> u_;                             // bin in use
    std::vector<std::vector<int>> first_, second_;   // [group][bin]: copies
    std::vector<std::vector<int>> z_;                // [class][bin]: tuned
    std::set<std::size_t> groups_lost_;
};

bool kept_apart(const Model& model, const std::vector<Homes>& homes, std::size_t item, std::size_t bin) {
    return std::any_of(model.apart.begin(), model.apart.end(), [&](const auto& pair) {
        return (pair[0] == item && homes[pair[1]][0] == bin) || (pair[1] == item && homes[pair[0]][0] == bin);
    });
}

}  // namespace

Answer has_plan(const Model& model, std::int64_t most, double seconds, Solver solver) {
    Whole whole(model, false);
    whole.cost_at_most(most);
    return solved(whole.program(), seconds, solver, true).answer;
}

std::optional<int> fewest_moves(const Model& model, double seconds, Solver solver) {
    Whole whole(model, true);
    const auto outcome = solved(whole.program(), seconds, solver, false);
    if (outcome.answer != Answer::yes) return std::nullopt;
    return whole.with_previous() + static_cast<int>(std::lround(outcome.objective));
}

// As a model of its own: survivors as they are, with what is left of their licences, tuners and rates.
Answer survives(const Model& model, const std::vector<Homes>& homes, const std::vector<std::size_t>& used,
                std::size_t loss_group) {
    Program p;
    std::vector<std::size_t> lost;
    for (std::size_t i = 0; i < homes.size(); ++i)
        if (homes[i][0] && model.bins[*homes[i][0]].loss_group == loss_group && model.items[i].is_protected) lost.push_back(i);
    if (lost.empty()) return Answer::yes;
    std::map<std::size_t, std::vector<std::pair<int, double>>> home_rows;                // by item
    std::vector<std::vector<std::pair<int, double>>> limit_rows(model.limits.size());
    std::vector<double> limit_left;
    std::map<std::pair<std::size_t, std::size_t>, int> places;
    for (const auto& limit : model.limits) limit_left.push_back(static_cast<double>(limit.most));
    for (const auto b : used) {
        const auto& bin = model.bins[b];
        if (bin.loss_group == loss_group) continue;
        double licences = bin.licences, rate = static_cast<double>(bin.rate_limit.value_or(0));
        std::set<std::size_t> tuned;
        for (std::size_t i = 0; i < homes.size(); ++i) {
            if (homes[i][0] != b) continue;
            licences -= 1;
            rate -= static_cast<double>(model.items[i].rate[bin.layer]);
            tuned.insert(model.items[i].item_class);
            for (std::size_t l = 0; l < model.limits.size(); ++l)
                if (std::count(model.limits[l].bins.begin(), model.limits[l].bins.end(), b) > 0)
                    limit_left[l] -= model.limits[l].kind == Limit::Kind::licences ? 1.0 : model.limits[l].kind == Limit::Kind::rate ? static_cast<double>(model.items[i].rate[0]) : 0.0;
        }
        std::vector<std::pair<int, double>> licence_row, rate_row, tuner_row;
        std::map<std::size_t, int> newly;
        for (const auto i : lost) {
            const auto c = model.items[i].item_class;
            if (!model.allowed[c][b] || kept_apart(model, homes, i, b)) continue;
            const int v = p.add(0, 1);
            places[{i, b}] = v;
            home_rows[i].emplace_back(v, 1);
            licence_row.emplace_back(v, 1);
            rate_row.emplace_back(v, static_cast<double>(model.items[i].rate[bin.layer]) / 1e5);
            for (std::size_t l = 0; l < model.limits.size(); ++l)
                if (model.limits[l].kind != Limit::Kind::bins && std::count(model.limits[l].bins.begin(), model.limits[l].bins.end(), b) > 0)
                    limit_rows[l].emplace_back(v, model.limits[l].kind == Limit::Kind::rate ? static_cast<double>(model.items[i].rate[0]) / 1e5 : 1);
            if (tuned.contains(c)) continue;
            if (!newly.contains(c)) newly[c] = p.add(0, 1);
            p.at_most({{v, 1}, {newly[c], -1}}, 0);
        }
        for (const auto& [c, v] : newly) tuner_row.emplace_back(v, 1);
        p.at_most(licence_row, licences);
        p.at_most(tuner_row, bin.tuners - static_cast<double>(tuned.size()));
        if (bin.rate_limit) p.at_most(rate_row, rate / 1e5);
    }
    for (const auto i : lost) p.equal(home_rows[i], 1);
    for (const auto& [i, j] : model.apart)
        for (const auto b : used)
            if (places.contains({i, b}) && places.contains({j, b})) p.at_most({{places[{i, b}], 1}, {places[{j, b}], 1}}, 1);
    for (std::size_t l = 0; l < model.limits.size(); ++l)
        p.at_most(limit_rows[l], limit_left[l] / (model.limits[l].kind == Limit::Kind::rate ? 1e5 : 1));
    return solved(p, 10, Solver::glpk, true).answer;
}

}  // namespace mastline::test
