// SPDX-License-Identifier: Apache-2.0
// A mixed integer program, solved by CBC. The only place that sees its library.
#pragma once

#include <utility>
#include <vector>

namespace mastline {

class IntegerProgram {
public:
    enum class Outcome { optimal, feasible, infeasible, open };

    int integer(double low, double high, double objective = 0);  // a variable; its number
    int continuous(double low, double high, double objective = 0);
    void row(const std::vector<std::pair<int, double>>& terms, double low, double high);
    void at_most(const std::vector<std::pair<int, double>>& terms, double most);
    void equal(const std::vector<std::pair<int, double>>& terms, double value);

    // Minimises within the time and, where given, the nodes of the search, which unlike time are the
    // same on every machine; values are good for optimal and feasible.
    Outcome solve(double seconds, int most_nodes = 0);
    // Whether even values that are not whole solve nothing: asked quickly, before much is made of it.
    bool has_no_fractional_solution();
    long value(int variable) const;         // of an integer variable
    double real_value(int variable) const;  // of any
    double bound() const { return bound_; }  // of the objective
    std::size_t variables() const { return low_.size(); }

private:
    struct Columns {  // one after the other: where each starts, its rows and factors
        std::vector<int> starts{0}, rows;
        std::vector<double> factors;
    };

    Columns columns() const;
    Outcome solve_linear(const Columns& columns);

    std::vector<double> low_, high_, objective_, row_low_, row_high_, values_;
    std::vector<std::vector<std::pair<int, double>>> columns_;
    std::vector<int> integers_;
    double bound_ = 0;
};

}  // namespace mastline
