// SPDX-License-Identifier: Apache-2.0
// How far readings may stray without a fault, and which of them stray together.
//
// Each part's tolerance is three independent draws: one for the whole part, one for each of its lanes
// and one for the tilt of each lane, which together have the variance of an even chance anywhere
// within the tolerance (t squared over 3). The air's temperature is one draw for all outdoor runs, the
// offset of a meter one draw for all its readings of an occasion; each reading has its own error.
#pragma once

#include <vector>

#include <Eigen/Core>

#include "mastline/readings/diagnosis.hpp"
#include "planner/readings/chain_points.hpp"

namespace mastline {

// A point on one occasion.
struct Sighting {
    const ChainPoint* point = nullptr;
    int occasion = 0;       // 0: now, 1: the baseline
    std::string instrument;
    int count = 1;          // readings that its level is the mean of; 0: not read
};

struct Covariance {
    Eigen::MatrixXd always;  // meter and climate
    Eigen::MatrixXd parts;   // parts anywhere within their tolerances
};

Covariance covariance(const ChainPoints& chain, const std::vector<Sighting>& sightings,
                      const Meter& meter);

}  // namespace mastline
