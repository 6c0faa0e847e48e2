// SPDX-License-Identifier: Apache-2.0
#include "mastline/still/decode_still.hpp"

#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <spawn.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <filesystem>
#include <optional>
#include <system_error>

extern "C" {
#include <sys/pidfd.h>  // has no linkage of its own in glibc 2.36
}

#include "mastline/still/still_reply.hpp"
#include "probe/source/file_descriptor.hpp"
#include "probe/still/picture_file.hpp"

namespace mastline {

namespace {

using Clock = std::chrono::steady_clock;

int milliseconds_to(Clock::time_point end) {
    const auto left = std::chrono::ceil<std::chrono::milliseconds>(end - Clock::now());
    return static_cast<int>(std::max<std::int64_t>(left.count(), 0));
}

[[noreturn]] void refuse(int error, const char* what) { throw std::system_error(error, std::generic_category(), what); }

// What the new process finds open: one socket as its input and output, nothing else.
class SpawnActions {
public:
    explicit SpawnActions(int socket) {
        ::posix_spawn_file_actions_init(&actions_);
        ::posix_spawn_file_actions_adddup2(&actions_, socket, STDIN_FILENO);
        ::posix_spawn_file_actions_adddup2(&actions_, socket, STDOUT_FILENO);
        ::posix_spawn_file_actions_addopen(&actions_, STDERR_FILENO, "/dev/null", O_WRONLY, 0);
        ::posix_spawn_file_actions_addclosefrom_np(&actions_, STDERR_FILENO + 1);
    }
    ~SpawnActions() { ::posix_spawn_file_actions_destroy(&actions_); }
    SpawnActions(const SpawnActions&) = delete;
    SpawnActions& operator=(const SpawnActions&) = delete;
    const posix_spawn_file_actions_t* get() const { return &actions_; }

private:
    posix_spawn_file_actions_t actions_{};
};

// A process of ours; never outlives this.
class DecoderProcess {
public:
    DecoderProcess(const std::string& program, const std::string& kind) {
        std::array<int, 2> ends{};
        if (::socketpair(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0, ends.data()) != 0) refuse(errno, "a socket for mastline-still");
        socket_ = FileDescriptor(ends[0]);
        const FileDescriptor theirs(ends[1]);
        const SpawnActions actions(theirs.get());
        std::string name = "mastline-still", of = kind;
        std::array<char*, 3> arguments{name.data(), of.data(), nullptr};
        std::array<char*, 1> environment{nullptr};
        const int error = ::posix_spawn(&id_, program.c_str(), actions.get(), nullptr, arguments.data(), environment.data());
        if (error != 0) refuse(error, program.c_str());
    }
    ~DecoderProcess() {
        if (status_) return;
        ::kill(id_, SIGKILL);
        collect();
    }
    DecoderProcess(const DecoderProcess&) = delete;
    DecoderProcess& operator=(const DecoderProcess&) = delete;

    // Gives it the bytes and takes what it answers, up to `most` bytes and one. False: time is over.
    bool talk(ByteView bytes, std::size_t most, Clock::time_point end, std::vector<std::byte>& reply) {
        for (;;) {
            const int left = milliseconds_to(end);
            if (left == 0) return false;
            if (bytes.empty()) ::shutdown(socket_.get(), SHUT_WR);
            pollfd wait{socket_.get(), static_cast<short>(POLLIN | (bytes.empty() ? 0 : POLLOUT)), 0};
            if (::poll(&wait, 1, left) < 0 && errno != EINTR) return true;
            if ((wait.revents & POLLOUT) != 0) send(bytes);
            if ((wait.revents & (POLLIN | POLLHUP | POLLERR)) != 0 && !receive(reply, most)) return true;
        }
    }

    // Its status once it has ended by itself; none: it has not by `end`, and is killed.
    std::optional<int> wait(Clock::time_point end) {
        const FileDescriptor process(::pidfd_open(id_, 0));
        pollfd ended{process.get(), POLLIN, 0};
        while (process.get() >= 0 && ::poll(&ended, 1, milliseconds_to(end)) < 0 && errno == EINTR) {}
        if ((ended.revents & POLLIN) == 0) return std::nullopt;
        collect();
        return status_;
    }

private:
    void collect() {
        int status = 0;
        while (::waitpid(id_, &status, 0) < 0 && errno == EINTR) {}
        status_ = status;
    }
    void send(ByteView& bytes) {
        const auto sent = ::send(socket_.get(), bytes.data(), bytes.size(), MSG_NOSIGNAL | MSG_DONTWAIT);
        if (sent > 0) bytes = bytes.subspan(static_cast<std::size_t>(sent));
        else if (sent < 0 && errno != EAGAIN && errno != EINTR) bytes = {};  // it takes no more
    }
    // Whether more may come.
    bool receive(std::vector<std::byte>& reply, std::size_t most) {
        std::array<std::byte, 16384> buffer;
        const auto got = ::recv(socket_.get(), buffer.data(), buffer.size(), MSG_DONTWAIT);
        if (got < 0) return errno == EAGAIN || errno == EINTR;
        reply.insert(reply.end(), buffer.begin(), buffer.begin() + got);
        return got > 0 && reply.size() <= most;
    }

    FileDescriptor socket_;
    pid_t id_ = 0;
    std::optional<int> status_;
};

std::string lack_by(int status) {
    if (WIFSIGNALED(status)) return WTERMSIG(status) == SIGSYS ? "the decoder was stopped: it tried what it may not" : "the decoder crashed";
    switch (static_cast<StillExit>(WEXITSTATUS(status))) {
        case StillExit::good: return "the decoder's answer is no picture";
        case StillExit::no_picture: return "the decoder made no picture of it";
        case StillExit::usage: return "the decoder does not know this kind of video";
        case StillExit::refused: return "the decoder could not be shut into its sandbox";
    }
    return "the decoder failed";
}

}  // namespace

std::string still_program() {
    std::error_code unknown;
    const auto own = std::filesystem::read_symlink("/proc/self/exe", unknown).parent_path();
    for (const auto* near : {"../libexec/mastline/mastline-still", "mastline-still"})
        if (const auto path = own / near; ::access(path.c_str(), X_OK) == 0) return path.lexically_normal();
    return {};
}

Still decode_still(const StillMaterial& material, const std::string& program, std::chrono::milliseconds patience) {
    Still out;
    out.at = material.at;
    out.lack = material.lack;
    if (!out.lack.empty()) return out;
    if (program.empty()) {
        out.lack = "mastline-still is not installed";
        return out;
    }
    DecoderProcess decoder(program, material.kind);
    std::vector<std::byte> reply;
    const auto end = Clock::now() + patience;
    const bool answered = decoder.talk(material.bytes, kMostStillReply, end, reply);
    // One that says more than it may is not waited for.
    const auto status = reply.size() > kMostStillReply ? std::optional(0) : answered ? decoder.wait(end) : std::nullopt;
    const auto pixels = parse_still_reply(reply);
    if (status != 0 || !pixels) {
        out.lack = status ? lack_by(*status) : "the decoder took too long";
        return out;
    }
    out.jpeg = jpeg_of(*pixels);
    out.width = pixels->width;
    out.height = pixels->height;
    return out;
}

}  // namespace mastline
