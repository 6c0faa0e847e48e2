// SPDX-License-Identifier: Apache-2.0
// Datagrams and membership messages off an interface through the kernel's capture ring (needs
// CAP_NET_RAW). It sees more than sockets do: membership messages, and groups that arrive though nobody
// asked.
#pragma once

#include <memory>
#include <string>

#include "mastline/source/packet_sink.hpp"

namespace mastline {

class LiveCapture {
public:
    enum class Taking {
        everything,  // multicast: streams, and membership messages
        membership,  // membership messages alone
    };

    // Throws std::system_error: operation not permitted, or no such interface.
    LiveCapture(const std::string& interface, Taking taking);
    ~LiveCapture();
    LiveCapture(const LiveCapture&) = delete;
    LiveCapture& operator=(const LiveCapture&) = delete;

    // Delivers what is there, group by group, each group in its order; waits at most `patience` for the
    // first frame. Where frames found no room in the ring, on_own_loss_somewhere() comes between what was
    // before them and what is behind them.
    void poll(PacketSink& sink, Duration patience);

    // Frames that the ring had no room for, since the start, as far as poll() has come: a loss of our own.
    std::uint64_t dropped() const;

private:
    struct State;
    std::unique_ptr<State> state_;
};

}  // namespace mastline
