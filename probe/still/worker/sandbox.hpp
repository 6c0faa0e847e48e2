// SPDX-License-Identifier: Apache-2.0
// Shuts a process in before it reads bytes from the air.
#pragma once

namespace mastline {

// From here on the process can take and give back memory, read its standard input, write its standard
// output, and end. Any other system call ends it (SIGSYS): no files, no network, no other programs, no
// threads, no memory that can be executed. Memory, processor time and files are bounded besides.
// False: the kernel refused; nothing may be read then.
bool enter_sandbox();

}  // namespace mastline
