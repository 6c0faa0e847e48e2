// SPDX-License-Identifier: Apache-2.0
#include "signal/settings_oracle.hpp"

#include <fmt/format.h>
#include <glpk.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <memory>
#include <stdexcept>

#include "support/dice.hpp"

namespace mastline::test {

namespace {

constexpr double kLow = 1000, kHigh = 2000;              // MHz, the lanes' band
constexpr double kCableLow = 16, kCableHigh = 24;        // dB per 100 m at the band edges
constexpr double kCablePercent = 5;
constexpr double kBandLow = 950, kBandHigh = 2150;       // MHz, an amplifier's usual band

// --- a tree ---

class Grower {
public:
    explicit Grower(std::uint32_t seed) : dice_(seed) {}

    RandomTree grow() {
        tree_.lanes = 1 + below(3);
        tree_.carriers = below(3);
        for (int i = 0; i < tree_.lanes; ++i) {
            tree_.level_low.push_back(-30 - tenths(50));
            tree_.level_high.push_back(tree_.level_low.back() - tenths(40));
        }
        tree_.tolerance = tenths(10);
        for (const double loss : {3.0, 6.0, 10.0})
            tree_.pads.push_back({loss, below(2) ? tenths(5) : 0, below(2) ? 1 + below(3) : 20});
        if (below(2)) tree_.pads.push_back({1.5, 0, 2});
        tree_.taps = {{12, 1.8, 0.3, {}}, {16, 1.1, 0.3, below(2) ? std::optional(1) : std::nullopt}, {20, 0.6, 0.3, {}}};
        add(RandomNode::Kind::amplifier, -1, "out");
        branch(0, "out", 0);
        give_windows();
        return std::move(tree_);
    }

private:
    int below(int n) { return static_cast<int>(dice_.below(static_cast<std::uint32_t>(n))); }
    double tenths(int n) { return below(n) / 10.0; }

    int add(RandomNode::Kind kind, int parent, const std::string& port) {
        RandomNode node;
        node.kind = kind, node.parent = parent, node.parent_port = port;
        if (below(3) == 0) node.cable_metres = 5 + below(40);
        else node.run_loss = tenths(40), node.run_tolerance = tenths(3);
        node.tolerance = tenths(8);
        if (kind == RandomNode::Kind::amplifier) {
            node.gain = 12 + below(20);
            node.trim_low = -12, node.trim_high = 0;
            node.trim_step = below(2) ? 0.5 + below(3) / 2.0 : 0;
            node.slope_high = 3 + below(7);
            node.slope_step = below(2) ? 1 : 0;
            if (below(4) == 0) node.given_slope = below(4);
            if (below(3) == 0) node.maximum_output = -8 + below(10);
        }
        if (kind == RandomNode::Kind::splitter) node.gain = -3.8;
        if (kind == RandomNode::Kind::tap) {
            node.open_tap = below(3) != 0;
            node.tap = 14, node.through = 1.5;
        }
        tree_.nodes.push_back(node);
        return static_cast<int>(tree_.nodes.size()) - 1;
    }

    void branch(int parent, const std::string& port, int depth) {
        const int roll = depth >= 4 || tree_.nodes.size() > 12 ? 9 : below(10);
        if (roll < 3 && places_ < 3) {
            ++places_;
            branch(add(RandomNode::Kind::place, parent, port), "out", depth + 1);
        } else if (roll < 5) {
            const int tap = add(RandomNode::Kind::tap, parent, port);
            branch(tap, "tap", depth + 2);
            branch(tap, "out", depth + 1);
        } else if (roll < 7) {
            const int splitter = add(RandomNode::Kind::splitter, parent, port);
            branch(splitter, "out1", depth + 1);
            branch(splitter, "out2", depth + 1);
        } else if (roll < 8 && amplifiers_ < 1) {
            ++amplifiers_;
            branch(add(RandomNode::Kind::amplifier, parent, port), "out", depth + 1);
        } else {
            add(RandomNode::Kind::end, parent, port);
        }
    }

    // Around what the levels are with some trims and taps, so that some trees can be met and some not.
    void give_windows();

    Dice dice_;
    RandomTree tree_;
    int places_ = 0, amplifiers_ = 0;
};

// --- levels as sums over variables ---

struct Coefficient {
    double nominal = 0, tolerance = 0;
};
struct Sum {
    double level = 0, tolerance = 0;
    std::map<int, Coefficient> of;  // by variable
};

struct Variable {
    enum class Kind { trim, slope, pad, tap } kind = Kind::trim;
    int node = 0, lane = 0, stock = 0;
    double low = 0, high = 1, step = 0;
};

struct Input {
    int node = 0;
    Sum sum;
    bool output = false;  // of an amplifier: `high` alone, hard
    double low = 0, high = 0;
};

class Reckoning {
public:
    explicit Reckoning(const RandomTree& tree) : tree_(tree) {
        for (int n = 0; n < static_cast<int>(tree.nodes.size()); ++n) open(n);
        for (int n = 0; n < static_cast<int>(tree.nodes.size()); ++n) judge(n);
    }

    const std::vector<Variable>& variables() const { return variables_; }
    const std::vector<Input>& inputs() const { return inputs_; }

    static std::vector<double> frequencies(const RandomTree& tree) {
        std::vector<double> out{kLow, kHigh};
        for (int i = 0; i < tree.carriers; ++i) out.push_back(1200 + 350 * i);
        return out;
    }
    // What comes in at a node.
    Sum at(int n, int lane, double mhz) const {
        const auto& node = tree_.nodes[static_cast<std::size_t>(n)];
        Sum sum;
        if (node.parent < 0) {
            const auto i = static_cast<std::size_t>(lane);
            sum.level = tree_.level_low[i] + (tree_.level_high[i] - tree_.level_low[i]) * (mhz - kLow) / (kHigh - kLow);
            sum.tolerance = tree_.tolerance;
        } else {
            sum = out_of(node.parent, node.parent_port, lane, mhz);
        }
        const double cable = cable_loss(mhz) * node.cable_metres / 100;
        sum.level -= node.cable_metres > 0 ? cable : node.run_loss;
        sum.tolerance += node.cable_metres > 0 ? cable * kCablePercent / 100 : node.run_tolerance;
        return sum;
    }
    Sum out_of(int n, const std::string& port, int lane, double mhz) const {
        const auto& node = tree_.nodes[static_cast<std::size_t>(n)];
        Sum sum = at(n, lane, mhz);
        sum.level += node.gain;
        if (!node.open_tap) sum.tolerance += node.tolerance;
        if (node.kind == RandomNode::Kind::tap && !node.open_tap) sum.level -= port == "tap" ? node.tap : node.through;
        const double share = (kBandHigh - mhz) / (kBandHigh - kBandLow);
        if (node.given_slope) sum.level -= *node.given_slope * share;
        for (int v = 0; v < static_cast<int>(variables_.size()); ++v) {
            const auto& variable = variables_[static_cast<std::size_t>(v)];
            if (variable.node != n) continue;
            const auto stock = static_cast<std::size_t>(variable.stock);
            if (variable.kind == Variable::Kind::slope) sum.of[v] = {-share, 0};
            if (variable.kind == Variable::Kind::trim && variable.lane == lane) sum.of[v] = {1, 0};
            if (variable.kind == Variable::Kind::pad && variable.lane == lane)
                sum.of[v] = {-tree_.pads[stock].loss, tree_.pads[stock].tolerance};
            if (variable.kind == Variable::Kind::tap)
                sum.of[v] = {-(port == "tap" ? tree_.taps[stock].tap : tree_.taps[stock].through), tree_.taps[stock].tolerance};
        }
        return sum;
    }

private:
    // a sqrt(f) + b f through the two points of the cable
    static double cable_loss(double mhz) {
        const double b = (kCableHigh / std::sqrt(kHigh) - kCableLow / std::sqrt(kLow)) / (std::sqrt(kHigh) - std::sqrt(kLow));
        const double a = kCableLow / std::sqrt(kLow) - b * std::sqrt(kLow);
        return a * std::sqrt(mhz) + b * mhz;
    }

    void open(int n) {
        const auto& node = tree_.nodes[static_cast<std::size_t>(n)];
        using Kind = Variable::Kind;
        for (int lane = 0; lane < tree_.lanes; ++lane) {
            if (node.kind == RandomNode::Kind::amplifier)
                variables_.push_back({Kind::trim, n, lane, 0, node.trim_low, node.trim_high, node.trim_step});
            if (node.kind == RandomNode::Kind::place)
                for (int s = 0; s < static_cast<int>(tree_.pads.size()); ++s) variables_.push_back({Kind::pad, n, lane, s});
        }
        if (node.kind == RandomNode::Kind::amplifier && !node.given_slope)
            variables_.push_back({Kind::slope, n, 0, 0, 0, node.slope_high, node.slope_step});
        if (node.open_tap)
            for (int s = 0; s < static_cast<int>(tree_.taps.size()); ++s) variables_.push_back({Kind::tap, n, 0, s});
    }

    void judge(int n) {
        const auto& node = tree_.nodes[static_cast<std::size_t>(n)];
        for (int lane = 0; lane < tree_.lanes; ++lane)
            for (const double mhz : frequencies(tree_)) {
                if (node.kind == RandomNode::Kind::end)
                    inputs_.push_back({n, at(n, lane, mhz), false, node.window_low, node.window_high});
                if (node.maximum_output) inputs_.push_back({n, out_of(n, "out", lane, mhz), true, 0, *node.maximum_output});
            }
    }

    const RandomTree& tree_;
    std::vector<Variable> variables_;
    std::vector<Input> inputs_;
};

void Grower::give_windows() {
    const Reckoning reckoning(tree_);
    std::vector<double> values;
    std::vector<double> trims;
    for (const auto& variable : reckoning.variables()) {
        double value = 0;
        if (variable.kind == Variable::Kind::trim) value = -3 - below(6);
        if (variable.kind == Variable::Kind::slope) value = below(static_cast<int>(variable.high));
        if (variable.kind == Variable::Kind::tap) value = variable.stock == 1 ? 1 : 0;
        if (variable.kind == Variable::Kind::pad) value = variable.stock == below(8) ? 1 : 0;
        values.push_back(value);
    }
    std::map<int, std::pair<double, double>> span;
    for (const auto& input : reckoning.inputs()) {
        if (input.output) continue;
        double level = input.sum.level;
        for (const auto& [v, c] : input.sum.of) level += c.nominal * values[static_cast<std::size_t>(v)];
        auto& [low, high] = span.try_emplace(input.node, level, level).first->second;
        low = std::min(low, level), high = std::max(high, level);
    }
    for (const auto& [n, range] : span) {
        auto& node = tree_.nodes[static_cast<std::size_t>(n)];
        const double centre = std::round((range.first + range.second) * 5) / 10;
        const double half = 4 + below(9) - (below(8) == 0 ? 3 : 0);
        node.window_low = centre - half, node.window_high = centre + half;
    }
}

// --- the same as a mixed integer program ---

class Program {
public:
    Program(const RandomTree& tree, const Reckoning& reckoning) : tree_(tree), reckoning_(reckoning), lp_(glp_create_prob(), glp_delete_prob) {
        glp_term_out(GLP_OFF);
        for (const auto& variable : reckoning.variables()) {
            const bool stepped = variable.step > 0 || variable.kind == Variable::Kind::pad || variable.kind == Variable::Kind::tap;
            const int column = glp_add_cols(lp_.get(), 1);
            if (variable.step > 0)
                glp_set_col_bnds(lp_.get(), column, GLP_DB, 0, std::floor((variable.high - variable.low) / variable.step + 1e-9));
            else glp_set_col_bnds(lp_.get(), column, GLP_DB, variable.low, variable.high);
            if (stepped) glp_set_col_kind(lp_.get(), column, GLP_IV);
        }
        margin_ = glp_add_cols(lp_.get(), 1);
        miss_ = glp_add_cols(lp_.get(), 1);
        glp_set_col_bnds(lp_.get(), margin_, GLP_DB, 0, 500);
        glp_set_col_bnds(lp_.get(), miss_, GLP_FX, 0, 0);
        for (const auto& input : reckoning.inputs()) add(input);
        add_choices();
    }

    OracleAnswer ask() {
        OracleAnswer out;
        glp_set_obj_coef(lp_.get(), margin_, -1);
        if (!solve()) {
            glp_set_obj_coef(lp_.get(), margin_, 0);
            glp_set_col_bnds(lp_.get(), margin_, GLP_FX, 0, 0);
            glp_set_col_bnds(lp_.get(), miss_, GLP_LO, 0, 0);
            glp_set_obj_coef(lp_.get(), miss_, 1);
            if (!solve()) throw std::runtime_error("no settings at all");
            return {false, -glp_mip_col_val(lp_.get(), miss_), 0};
        }
        out.margin = glp_mip_col_val(lp_.get(), margin_);
        glp_set_obj_coef(lp_.get(), margin_, 0);
        glp_set_col_bnds(lp_.get(), margin_, GLP_LO, std::max(0.0, out.margin - 1e-5), 0);
        for (std::size_t v = 0; v < reckoning_.variables().size(); ++v)
            if (reckoning_.variables()[v].kind == Variable::Kind::pad) glp_set_obj_coef(lp_.get(), column(v), 1);
        if (!solve()) throw std::runtime_error("the margin is gone");
        out.pads = static_cast<int>(std::lround(glp_mip_obj_val(lp_.get())));
        return out;
    }

private:
    static int column(std::size_t v) { return static_cast<int>(v) + 1; }

    void row(const std::vector<std::pair<int, double>>& terms, int type, double value) {
        std::vector<int> columns{0};
        std::vector<double> factors{0};
        for (const auto& [c, f] : terms) columns.push_back(c), factors.push_back(f);
        const int r = glp_add_rows(lp_.get(), 1);
        glp_set_row_bnds(lp_.get(), r, type, value, value);
        glp_set_mat_row(lp_.get(), r, static_cast<int>(terms.size()), columns.data(), factors.data());
    }

    void add(const Input& input) {
        if (input.sum.of.empty()) return;
        for (const bool upper : {true, false}) {
            if (input.output && !upper) continue;
            const double sign = upper ? 1 : -1;
            double most = upper ? input.high - input.sum.level - input.sum.tolerance
                                : input.sum.level - input.sum.tolerance - input.low;
            std::vector<std::pair<int, double>> terms{{miss_, -1}};
            if (!input.output) terms.emplace_back(margin_, 1);
            for (const auto& [v, c] : input.sum.of) {
                const auto& variable = reckoning_.variables()[static_cast<std::size_t>(v)];
                const double factor = sign * c.nominal + c.tolerance;
                if (variable.step > 0) most -= factor * variable.low;
                terms.emplace_back(v + 1, variable.step > 0 ? factor * variable.step : factor);
            }
            row(terms, GLP_UP, most);
        }
    }

    void add_choices() {
        std::map<std::pair<int, int>, std::vector<std::pair<int, double>>> places, taps, pad_stock, tap_stock;
        for (std::size_t v = 0; v < reckoning_.variables().size(); ++v) {
            const auto& variable = reckoning_.variables()[v];
            if (variable.kind == Variable::Kind::pad) {
                places[{variable.node, variable.lane}].emplace_back(column(v), 1);
                pad_stock[{variable.stock, 0}].emplace_back(column(v), 1);
            }
            if (variable.kind == Variable::Kind::tap) {
                taps[{variable.node, 0}].emplace_back(column(v), 1);
                tap_stock[{variable.stock, 0}].emplace_back(column(v), 1);
            }
        }
        for (const auto& [key, terms] : places) row(terms, GLP_UP, 1);
        for (const auto& [key, terms] : taps) row(terms, GLP_FX, 1);
        for (const auto& [key, terms] : pad_stock) row(terms, GLP_UP, tree_.pads[static_cast<std::size_t>(key.first)].count);
        for (const auto& [key, terms] : tap_stock)
            if (const auto count = tree_.taps[static_cast<std::size_t>(key.first)].count) row(terms, GLP_UP, *count);
    }

    bool solve() {
        glp_iocp parameters;
        glp_init_iocp(&parameters);
        parameters.msg_lev = GLP_MSG_OFF;
        parameters.presolve = GLP_ON;
        parameters.tm_lim = 20'000;
        const int status = glp_intopt(lp_.get(), &parameters);
        if (status == GLP_ENOPFS || status == GLP_ENODFS) return false;
        if (status != 0) throw std::runtime_error("GLPK ended with status " + std::to_string(status));
        return glp_mip_status(lp_.get()) == GLP_OPT;
    }

    const RandomTree& tree_;
    const Reckoning& reckoning_;
    std::unique_ptr<glp_prob, decltype(&glp_delete_prob)> lp_;
    int margin_ = 0, miss_ = 0;
};

std::string name_of(int n) { return n < 0 ? "feed" : "n" + std::to_string(n); }

std::string device_text(const RandomNode& node, int lanes) {
    const auto common = fmt::format("lanes = {}\ntolerance = \"{} dB\"\n", lanes, node.tolerance);
    switch (node.kind) {
        case RandomNode::Kind::amplifier: {
            auto out = fmt::format("kind = \"amplifier\"\ngain = \"{} dB\"\ntrim_low = \"{} dB\"\ntrim_high = \"{} dB\"\n"
                                   "slope_high = \"{} dB\"\nderating = \"none\"\n", node.gain, node.trim_low, node.trim_high, node.slope_high);
            if (node.trim_step > 0) out += fmt::format("trim_step = \"{} dB\"\n", node.trim_step);
            if (node.slope_step > 0) out += fmt::format("slope_step = \"{} dB\"\n", node.slope_step);
            if (node.given_slope) out += fmt::format("slope = \"{} dB\"\n", *node.given_slope);
            if (node.maximum_output) out += fmt::format("maximum_output = \"{} dBm\"\n", *node.maximum_output);
            return out + common;
        }
        case RandomNode::Kind::place: return "kind = \"pad\"\n" + common;
        case RandomNode::Kind::splitter: return "kind = \"splitter\"\nways = 2\nloss = \"3.8 dB\"\n" + common;
        case RandomNode::Kind::tap:
            if (node.open_tap) return fmt::format("kind = \"tap\"\nlanes = {}\n", lanes);
            return fmt::format("kind = \"tap\"\ntap_loss = \"{} dB\"\nthrough_loss = \"{} dB\"\n", node.tap, node.through) + common;
        default:
            return fmt::format("kind = \"pad\"\nloss = \"0 dB\"\nwindow_low = \"{} dBm\"\nwindow_high = \"{} dBm\"\n",
                               node.window_low, node.window_high) + common;
    }
}

}  // namespace

RandomTree random_tree(std::uint32_t seed) { return Grower(seed).grow(); }

std::string venue_text(const RandomTree& tree) {
    std::string out = fmt::format("[[cable]]\nname = \"line\"\ntolerance_percent = {}\nloss = [\"{} dB at 1000 MHz\", \"{} dB at 2000 MHz\"]\n"
                                  "[[feed]]\nname = \"feed\"\n", kCablePercent, kCableLow, kCableHigh);
    for (int lane = 0; lane < tree.lanes; ++lane)
        out += fmt::format("[[feed.lane]]\nband_low = \"1000 MHz\"\nband_high = \"2000 MHz\"\nlevel_low = \"{} dBm\"\nlevel_high = \"{} dBm\"\ntolerance = \"{} dB\"\n",
                           tree.level_low[static_cast<std::size_t>(lane)], tree.level_high[static_cast<std::size_t>(lane)], tree.tolerance);
    const auto frequencies = Reckoning::frequencies(tree);
    for (int lane = 0; lane < tree.lanes; ++lane)
        for (std::size_t i = 2; i < frequencies.size(); ++i)
            out += fmt::format("[[carrier]]\nname = \"c{}-{}\"\nfeed = \"feed\"\nlane = {}\nfrequency = \"{} MHz\"\nsystem = \"dvb-s\"\n", lane, i, lane + 1, frequencies[i]);
    for (int n = 0; n < static_cast<int>(tree.nodes.size()); ++n) {
        const auto& node = tree.nodes[static_cast<std::size_t>(n)];
        out += fmt::format("[[device]]\nname = \"{}\"\n", name_of(n)) + device_text(node, tree.lanes);
        out += fmt::format("[[run]]\nfrom = \"{}.{}\"\nto = \"{}.in\"\n", name_of(node.parent), node.parent_port, name_of(n));
        if (node.cable_metres > 0) out += fmt::format("cable = \"line\"\nlength = \"{} m\"\n", node.cable_metres);
        else out += fmt::format("loss = \"{} dB\"\ntolerance = \"{} dB\"\n", node.run_loss, node.run_tolerance);
    }
    for (const auto& pad : tree.pads)
        out += fmt::format("[[stock.pad]]\nloss = \"{} dB\"\ntolerance = \"{} dB\"\ncount = {}\n", pad.loss, pad.tolerance, pad.count);
    for (const auto& tap : tree.taps) {
        out += fmt::format("[[stock.tap]]\ntap_loss = \"{} dB\"\nthrough_loss = \"{} dB\"\ntolerance = \"{} dB\"\n", tap.tap, tap.through, tap.tolerance);
        if (tap.count) out += fmt::format("count = {}\n", *tap.count);
    }
    return out;
}

OracleAnswer ask_glpk(const RandomTree& tree) {
    const Reckoning reckoning(tree);
    return Program(tree, reckoning).ask();
}

double margin_under(const RandomTree& tree, const Venue& venue, const Choices& choices,
                    std::vector<std::string>& faults) {
    const Reckoning reckoning(tree);
    std::map<std::string, std::size_t> device;
    for (std::size_t d = 0; d < venue.devices.size(); ++d) device[venue.devices[d].name] = d;
    std::vector<double> values;
    std::map<std::pair<Variable::Kind, int>, int> taken;
    for (const auto& variable : reckoning.variables()) {
        const auto& choice = choices[device.at(name_of(variable.node))];
        const auto lane = static_cast<std::size_t>(variable.lane), stock = static_cast<std::size_t>(variable.stock);
        double value = 0;
        if (variable.kind == Variable::Kind::trim) value = choice.trim[lane].db();
        if (variable.kind == Variable::Kind::slope) value = choice.slope.db();
        if (variable.kind == Variable::Kind::pad) value = choice.pads[lane] && choice.pads[lane]->loss.db() == tree.pads[stock].loss;
        if (variable.kind == Variable::Kind::tap) value = choice.tap == stock;
        if (value < variable.low || value > variable.high) faults.push_back(name_of(variable.node) + " out of range");
        const double steps = variable.step > 0 ? (value - variable.low) / variable.step : 0;
        if (std::abs(steps - std::round(steps)) > 1e-9) faults.push_back(name_of(variable.node) + " off its steps");
        if (value > 0.5) ++taken[{variable.kind, variable.stock}];
        values.push_back(value);
    }
    for (std::size_t s = 0; s < tree.pads.size(); ++s)
        if (taken[{Variable::Kind::pad, static_cast<int>(s)}] > tree.pads[s].count) faults.push_back("more pads than stocked");
    for (std::size_t s = 0; s < tree.taps.size(); ++s)
        if (tree.taps[s].count && taken[{Variable::Kind::tap, static_cast<int>(s)}] > *tree.taps[s].count) faults.push_back("more taps than stocked");
    double least = std::numeric_limits<double>::infinity();
    for (const auto& input : reckoning.inputs()) {
        if (input.sum.of.empty()) continue;
        double level = input.sum.level, tolerance = input.sum.tolerance;
        for (const auto& [v, c] : input.sum.of) {
            level += c.nominal * values[static_cast<std::size_t>(v)];
            tolerance += c.tolerance * values[static_cast<std::size_t>(v)];
        }
        const double above = input.high - level - tolerance;
        if (input.output) {
            if (above < -1e-6) faults.push_back(name_of(input.node) + " overdriven");
        } else {
            least = std::min({least, above, level - tolerance - input.low});
        }
    }
    return least;
}

}  // namespace mastline::test
