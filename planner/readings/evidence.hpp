// SPDX-License-Identifier: Apache-2.0
// How well possible faults explain what was read.
#pragma once

#include <functional>
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

class ReadingEvidence {
public:
    // `effects`: per possibility; the points come first among the rows. `sink` is told the part done, 0 to 1.
    ReadingEvidence(const Suspicions& suspicions, const std::vector<Effects>& effects,
             const Departures& departures, const Covariance& covariance, const std::function<void(double)>& sink = {});

    // No fault first, then every single one that shows in a row, then the likely pairs.
    const std::vector<Scenario>& scenarios() const { return scenarios_; }
    // Most likely amounts of a scenario's faults, dB.
    std::vector<double> amounts(const std::vector<std::size_t>& faults) const;
    // Share of their tolerances that the parts use, most likely.
    double tolerance_share() const { return shares_[best_share_].share; }
    // The rows with a signal.
    const std::vector<std::size_t>& alive() const { return alive_; }

private:
    // Possibilities that the readings cannot tell apart: the same change of the same rows.
    struct Alike {
        Eigen::Index column = 0;  // of the signature
        double least = 0, most = 0;
        std::vector<std::pair<std::size_t, double>> dead;  // rows likely to be silent
        std::vector<std::size_t> members;
        double log_prior = 0;     // of all together
        double log_likelihood = 0;
        bool fixed() const { return least >= most; }
    };
    struct Share {
        double share = 0, log_prior = 0;
        Eigen::MatrixXd w;      // signatures, whitened, one column each
        Eigen::VectorXd a, b;   // w'w and w'z of each, z the whitened readings
        double log_likelihood = 0;  // without a fault
    };

    Eigen::MatrixXd group(const std::vector<Effects>& effects);
    void reckon(const Covariance& covariance, const Departures& departures, const Eigen::MatrixXd& g,
                const std::function<void(double)>& sink);
    double log_dead(const std::vector<const Alike*>& faults) const;
    double log_gain(const Share& share, const std::vector<const Alike*>& faults) const;
    double log_likelihood(const std::vector<const Alike*>& faults) const;
    void weigh();
    void add_pairs();
    double bound(const Alike& x, const Alike& y, const std::vector<Eigen::VectorXd>& crosses) const;
    void find_best_share();

    const Suspicions& suspicions_;
    std::vector<std::size_t> alive_;
    std::vector<char> dead_;
    double log_dead_unexplained_ = 0;
    std::vector<double> log_prior_;         // per possibility
    std::vector<std::size_t> alike_of_;     // per possibility; of none that shows: the number of groups
    std::vector<Alike> alike_;
    std::vector<Share> shares_;
    std::size_t best_share_ = 0;
    std::vector<Scenario> scenarios_;
};

}  // namespace mastline
