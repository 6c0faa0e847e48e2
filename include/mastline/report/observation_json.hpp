// SPDX-License-Identifier: Apache-2.0
// A stream observation as JSON. Every key is described, with unit and clause of the standard, in
// probe/report/observation.schema.json.
#pragma once

#include <string>

#include <nlohmann/json_fwd.hpp>

#include "mastline/stream/observation.hpp"

namespace mastline {

inline constexpr const char* kObservationSchema = "mastline-stream-observation 1";

// The members of an observation, to stand inside another document. Keys in a fixed order; the same
// observation gives the same bytes on every machine. Texts from the air are one line of UTF-8.
nlohmann::ordered_json observation_json(const StreamObservation& observation);

// A document of its own, with its `schema` key, indented, a line end at the end.
std::string observation_document(const StreamObservation& observation);

}  // namespace mastline
