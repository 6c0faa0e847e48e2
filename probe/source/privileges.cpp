// SPDX-License-Identifier: Apache-2.0
#include "mastline/source/privileges.hpp"

#include <grp.h>
#include <linux/capability.h>
#include <sys/prctl.h>
#include <sys/syscall.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <charconv>
#include <cstdlib>
#include <optional>
#include <string_view>
#include <system_error>

namespace mastline {

namespace {

std::optional<unsigned> number_in(const char* name) {
    const char* value = std::getenv(name);
    if (value == nullptr) return std::nullopt;
    const std::string_view text(value);
    unsigned out = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), out);
    if (error != std::errc() || end != text.data() + text.size() || out == 0) return std::nullopt;
    return out;
}

// Where the user is not known in this user namespace, root goes on without capabilities.
void become_caller() {
    if (::geteuid() != 0) return;
    const auto user = number_in("SUDO_UID"), group = number_in("SUDO_GID");
    if (!user || !group || ::setgroups(0, nullptr) != 0) return;
    if (::setresgid(*group, *group, *group) != 0) return;
    if (::setresuid(*user, *user, *user) != 0 && errno != EINVAL)
        throw std::system_error(errno, std::generic_category(), "giving up root");
}

}  // namespace

void drop_privileges() {
    // The bounding set can be emptied only by who may set capabilities; no_new_privs serves the others.
    for (unsigned long c = 0; ::prctl(PR_CAPBSET_READ, c, 0, 0, 0) >= 0; ++c) ::prctl(PR_CAPBSET_DROP, c, 0, 0, 0);
    become_caller();
    ::prctl(PR_CAP_AMBIENT, PR_CAP_AMBIENT_CLEAR_ALL, 0, 0, 0);
    ::prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0);
    __user_cap_header_struct header{_LINUX_CAPABILITY_VERSION_3, 0};
    const std::array<__user_cap_data_struct, _LINUX_CAPABILITY_U32S_3> none{};
    if (::syscall(SYS_capset, &header, none.data()) != 0)
        throw std::system_error(errno, std::generic_category(), "giving up capabilities");
}

}  // namespace mastline
