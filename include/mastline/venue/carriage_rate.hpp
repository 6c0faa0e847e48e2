// SPDX-License-Identifier: Apache-2.0
// The one rule for the rate at which a programme is sent.
#pragma once

#include <algorithm>
#include <string>
#include <unordered_map>

#include "mastline/venue/venue.hpp"
#include "mastline/venue/wire_rate.hpp"

namespace mastline {

// Cards send at a constant rate and fill up with null packets: the greatest rate that the programme
// needs.
inline BitRate carriage_rate(const Programme& programme) {
    return programme.peak.value_or(programme.rate);
}

// Null where the policy gives the channel no forward error correction.
inline const FecPolicy* fec_of(const Channel& channel, const AddressingPolicy& policy) {
    const bool has = policy.fec && std::find(policy.fec->classes.begin(), policy.fec->classes.end(),
                                             channel.picture) != policy.fec->classes.end();
    return has ? &*policy.fec : nullptr;
}

// On the wire, with forward error correction where the policy gives it to the channel.
inline BitRate rate_with_fec(const Channel& channel, BitRate transport, const WireFormat& format,
                             const AddressingPolicy& policy) {
    BitRate rate = wire_rate(transport, format);
    if (const auto* fec = fec_of(channel, policy)) rate += fec_rate(transport, format, *fec);
    return rate;
}

// Finds the programme of a channel. Holds pointers into the venue, which must outlive it.
class Programmes {
public:
    explicit Programmes(const Venue& venue) {
        for (const auto& s : venue.services) services_.emplace(s.name, &s.programme);
        for (const auto& i : venue.inputs) inputs_.emplace(i.name, &i.programme);
    }
    // Null when the channel names none that exists; check_lineup() reports that.
    const Programme* of(const Channel& channel) const {
        const auto& from = channel.service.empty() ? inputs_ : services_;
        const auto at = from.find(channel.service.empty() ? channel.input : channel.service);
        return at == from.end() ? nullptr : at->second;
    }

private:
    std::unordered_map<std::string, const Programme*> services_, inputs_;
};

}  // namespace mastline
