// SPDX-License-Identifier: Apache-2.0
#include "mastline/readings/reading.hpp"

#include <algorithm>
#include <map>

namespace mastline {

namespace {

PointReading average_of(const std::vector<const Reading*>& all) {
    PointReading out;
    const auto& first = *all.front();
    out.point = first.point, out.instrument = first.instrument, out.place = first.place;
    double sum = 0, least = 0, most = 0;
    int heard = 0;
    for (const auto* reading : all) {
        if (!reading->level) continue;
        const double dbm = reading->level->dbm();
        least = heard == 0 ? dbm : std::min(least, dbm);
        most = heard == 0 ? dbm : std::max(most, dbm);
        sum += dbm;
        ++heard;
    }
    const auto silent = static_cast<int>(all.size()) - heard;
    out.count = std::max(heard, silent);
    if (heard < silent || heard == 0) return out;
    out.count = heard;
    out.level = Level::dbm(sum / heard);
    out.spread = Gain::db(most - least);
    return out;
}

}  // namespace

std::vector<PointReading> averaged(const std::vector<Reading>& readings) {
    std::map<MeterPoint, std::vector<const Reading*>> points;
    std::vector<const MeterPoint*> order;
    for (const auto& reading : readings) {
        auto& list = points[reading.point];
        if (list.empty()) order.push_back(&reading.point);
        list.push_back(&reading);
    }
    std::vector<PointReading> out;
    for (const auto* point : order) out.push_back(average_of(points[*point]));
    return out;
}

}  // namespace mastline
