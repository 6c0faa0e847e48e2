// SPDX-License-Identifier: Apache-2.0
#include "probe/commands/stop_signal.hpp"

#include <csignal>
#include <initializer_list>

namespace mastline {

namespace {

volatile std::sig_atomic_t stop_came = 0;

void on_stop(int) { stop_came = 1; }

void install(void (*action)(int), int flags) {
    struct sigaction sa {};
    sa.sa_handler = action;
    sa.sa_flags = flags;
    sigemptyset(&sa.sa_mask);
    for (const int signal : {SIGINT, SIGTERM}) sigaction(signal, &sa, nullptr);
}

}  // namespace

// The default action comes back with the first signal, so that a second one ends the program.
StopSignal::StopSignal() {
    stop_came = 0;
    install(on_stop, static_cast<int>(SA_RESETHAND));
}
StopSignal::~StopSignal() { install(SIG_DFL, 0); }
bool StopSignal::came() { return stop_came != 0; }

}  // namespace mastline
