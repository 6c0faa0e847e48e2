// SPDX-License-Identifier: Apache-2.0
// Gives up what opening a capture ring needed, before the first packet is looked at.
#pragma once

namespace mastline {

// From here on this thread, and every one it starts, has no capability and cannot gain one. Run by
// sudo, the process goes on as the user who called it, so that what it writes is that user's.
// Throws std::system_error when capabilities remain.
void drop_privileges();

}  // namespace mastline
