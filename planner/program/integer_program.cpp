// SPDX-License-Identifier: Apache-2.0
#include "planner/program/integer_program.hpp"

#include <coin/Cbc_C_Interface.h>
#include <coin/Clp_C_Interface.h>

#include <cmath>
#include <limits>
#include <memory>
#include <mutex>
#include <string>

namespace mastline {

namespace {

constexpr double kNoLimit = std::numeric_limits<double>::max();

struct Deleter {
    void operator()(void* model) const { Cbc_deleteModel(model); }
};
struct LinearDeleter {
    void operator()(Clp_Simplex* model) const { Clp_deleteModel(model); }
};

// CBC's solver keeps its commands in variables that all its models share: two searches at a time read each
// other's, and wait for a terminal. A time limit runs from when its turn has come.
std::mutex& turn() {
    static std::mutex one;
    return one;
}

}  // namespace

int IntegerProgram::integer(double low, double high, double objective) {
    integers_.push_back(continuous(low, high, objective));
    return integers_.back();
}

int IntegerProgram::continuous(double low, double high, double objective) {
    low_.push_back(low);
    high_.push_back(high);
    objective_.push_back(objective);
    columns_.emplace_back();
    return static_cast<int>(low_.size()) - 1;
}

void IntegerProgram::row(const std::vector<std::pair<int, double>>& terms, double low, double high) {
    const int number = static_cast<int>(row_low_.size());
    row_low_.push_back(low);
    row_high_.push_back(high);
    for (const auto& [variable, factor] : terms) {
        auto& column = columns_[static_cast<std::size_t>(variable)];
        if (!column.empty() && column.back().first == number) column.back().second += factor;
        else column.emplace_back(number, factor);
    }
}

void IntegerProgram::at_most(const std::vector<std::pair<int, double>>& terms, double most) {
    row(terms, -kNoLimit, most);
}

void IntegerProgram::equal(const std::vector<std::pair<int, double>>& terms, double value) {
    row(terms, value, value);
}

IntegerProgram::Columns IntegerProgram::columns() const {
    Columns out;
    for (const auto& column : columns_) {
        for (const auto& [row, factor] : column) {
            out.rows.push_back(row);
            out.factors.push_back(factor);
        }
        out.starts.push_back(static_cast<int>(out.rows.size()));
    }
    return out;
}

bool IntegerProgram::has_no_fractional_solution() {
    return !low_.empty() && solve_linear(columns()) == Outcome::infeasible;
}

IntegerProgram::Outcome IntegerProgram::solve(double seconds, int most_nodes) {
    if (low_.empty()) return Outcome::optimal;
    const auto [starts, rows, factors] = columns();
    if (integers_.empty()) return solve_linear({starts, rows, factors});
    const std::lock_guard lock(turn());
    const std::unique_ptr<void, Deleter> model(Cbc_newModel());
    Cbc_loadProblem(model.get(), static_cast<int>(low_.size()), static_cast<int>(row_low_.size()),
                    starts.data(), rows.data(), factors.data(), low_.data(), high_.data(),
                    objective_.data(), row_low_.data(), row_high_.data());
    for (const int i : integers_) Cbc_setInteger(model.get(), i);
    Cbc_setParameter(model.get(), "log", "0");
    Cbc_setParameter(model.get(), "slogLevel", "0");
    Cbc_setParameter(model.get(), "seconds", std::to_string(seconds).c_str());
    if (most_nodes > 0)
        Cbc_setParameter(model.get(), "maxNodes", std::to_string(most_nodes).c_str());
    Cbc_solve(model.get());
    bound_ = Cbc_getBestPossibleObjValue(model.get());
    if (Cbc_isProvenInfeasible(model.get()) != 0) return Outcome::infeasible;
    const double* best = Cbc_bestSolution(model.get());
    if (best == nullptr) return Outcome::open;
    values_.assign(best, best + low_.size());
    return Cbc_isProvenOptimal(model.get()) != 0 ? Outcome::optimal : Outcome::feasible;
}

// By the solver under CBC, which prints what it does when it has no integers to search.
IntegerProgram::Outcome IntegerProgram::solve_linear(const Columns& columns) {
    const auto& [starts, rows, factors] = columns;
    const std::unique_ptr<Clp_Simplex, LinearDeleter> model(Clp_newModel());
    Clp_setLogLevel(model.get(), 0);
    Clp_loadProblem(model.get(), static_cast<int>(low_.size()), static_cast<int>(row_low_.size()),
                    starts.data(), rows.data(), factors.data(), low_.data(), high_.data(),
                    objective_.data(), row_low_.data(), row_high_.data());
    Clp_dual(model.get(), 0);
    const int status = Clp_status(model.get());
    if (status == 1) return Outcome::infeasible;
    if (status != 0) return Outcome::open;
    bound_ = Clp_objectiveValue(model.get());
    const double* best = Clp_primalColumnSolution(model.get());
    values_.assign(best, best + low_.size());
    return Outcome::optimal;
}

long IntegerProgram::value(int variable) const {
    return std::lround(real_value(variable));
}

double IntegerProgram::real_value(int variable) const {
    return values_[static_cast<std::size_t>(variable)];
}

}  // namespace mastline
