// SPDX-License-Identifier: Apache-2.0
// One socket that receives one group and port on one interface.
#pragma once

#include <string>

#include "mastline/source/multicast_listener.hpp"
#include "probe/source/file_descriptor.hpp"

namespace mastline {

// Throws std::system_error: there is no such interface.
unsigned interface_index(const std::string& name);

// Joins on any socket of the group's family; 0 or the error number.
int join_group(int socket, const WantedFlow& flow, unsigned interface_index);

// Bound to the group, joined, stamped by the kernel, counting its drops. Throws std::system_error.
FileDescriptor open_group_socket(const WantedFlow& flow, unsigned interface_index);

// Lets this process hold `count` descriptors more, as far as its hard limit goes.
void make_room_for_descriptors(std::size_t count);

}  // namespace mastline
