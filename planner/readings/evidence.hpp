// SPDX-License-Identifier: Apache-2.0
// How well possible faults explain what was read.
#pragma once

#include <vector>

#include <Eigen/Core>

#include "planner/readings/signatures.hpp"
#include "planner/readings/tolerances.hpp"

namespace mastline {

// The readings as the reckoning sees them, row by row with the sightings.
struct Departures {
    std::vector<double> change;  // reading less expectation, dB; of a dead row: 0
    std::vector<char> dead;      // no signal, or nothing that could be called one
};

// Faults that are there together: none, one or two, as indices into the possibilities.
struct Scenario {
    std::vector<std::size_t> faults;
    double log_weight = 0;  // prior times likelihood, up to a common factor
};

class Evidence {
public:
    // `effects`: per possibility, per row.
    Evidence(const Suspicions& suspicions, const std::vector<std::vector<Effect>>& effects,
             const Departures& departures, const Covariance& covariance);

    // No fault first, then every single one that shows in a row, then the likely pairs.
    const std::vector<Scenario>& scenarios() const { return scenarios_; }
    // Most likely amounts of a scenario's faults, dB.
    std::vector<double> amounts(const std::vector<std::size_t>& faults) const;
    // Share of their tolerances that the parts use, most likely.
    double tolerance_share() const { return shares_[best_share_].share; }
    // Covariance of the rows that are alive, with that share, and which rows those are.
    const std::vector<std::size_t>& alive() const { return alive_; }

private:
    struct Share {
        double share = 0, log_prior = 0;
        Eigen::VectorXd z;       // readings, whitened
        Eigen::MatrixXd w;       // signatures, whitened, one column each
        Eigen::VectorXd a, b;    // w'w and w'z of each
        double log_likelihood = 0;  // without a fault
    };

    void reckon(const Covariance& covariance, const Departures& departures,
                const std::vector<std::vector<Effect>>& effects);
    double log_dead(const std::vector<std::size_t>& faults) const;
    double log_gain(const Share& share, const std::vector<std::size_t>& faults) const;
    double log_likelihood(const std::vector<std::size_t>& faults) const;
    void weigh();
    void add_pairs();

    const Suspicions& suspicions_;
    std::vector<std::size_t> alive_, shown_;     // rows; possibilities that show in a row
    std::vector<std::vector<std::pair<std::size_t, double>>> cover_;  // per possibility: dead rows likely
    std::vector<char> dead_;
    double log_dead_unexplained_ = 0;
    std::vector<Share> shares_;
    std::size_t best_share_ = 0;
    std::vector<double> log_prior_;
    std::vector<Scenario> scenarios_;
};

}  // namespace mastline
