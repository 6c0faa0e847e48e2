// SPDX-License-Identifier: Apache-2.0
#include "mastline/source/byte_input.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>
#include <zlib.h>
#include <zstd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <limits>
#include <system_error>
#include <vector>

#include "probe/source/mapped_window.hpp"

namespace mastline {

namespace {

[[noreturn]] void refuse(const std::string& path, int error) {
    throw std::system_error(error, std::generic_category(), path);
}

class PlainInput final : public ByteInput {
public:
    PlainInput(int fd, std::string path) : fd_(fd), path_(std::move(path)), in_place_(can_be_mapped()) {}
    ~PlainInput() override { ::close(fd_); }
    PlainInput(const PlainInput&) = delete;
    PlainInput& operator=(const PlainInput&) = delete;

    // The first bytes, which the next read() gives again.
    ByteView peek() {
        peeked_size_ = fill(peeked_);
        return std::span(peeked_).first(peeked_size_);
    }

    std::size_t read(std::span<std::byte> into) override {
        const std::size_t again = std::min(into.size(), peeked_size_ - peeked_given_);
        std::ranges::copy(std::span(peeked_).subspan(peeked_given_, again), into.begin());
        peeked_given_ += again;
        return again + fill(into.subspan(again));
    }

    std::optional<ByteView> in_place(std::uint64_t from, std::size_t count) override {
        if (!in_place_) return std::nullopt;
        torn_ = torn_ || (window_ && window_->torn());
        const std::uint64_t size = torn_ ? from : size_now();
        if (from >= size) return ByteView{};
        const std::uint64_t start = from / kPage * kPage;
        const auto length = std::min<std::uint64_t>(std::max(kWindow, from - start + count), size - start);
        window_.reset();
        window_ = MappedWindow::open(fd_, start, length);
        if (window_) {
            ::posix_fadvise(fd_, static_cast<off_t>(start + length), kWindow, POSIX_FADV_WILLNEED);
            return window_->bytes().subspan(from - start);
        }
        if (from > 0) refuse(path_, errno);
        in_place_ = false;
        return std::nullopt;
    }
    std::string damage() const override {
        return torn_ || (window_ && window_->torn()) ? "the file became shorter, or could not be read, on the way" : "";
    }

private:
    // Large enough that a window costs little beside what it shows, small beside the memory there is.
    static constexpr std::size_t kWindow = 16 * 1024 * 1024;
    static constexpr std::size_t kPage = 2 * 1024 * 1024;  // a large page, where there are some

    // A window of its own pays from some size on.
    bool can_be_mapped() const {
        struct stat status {};
        return ::fstat(fd_, &status) == 0 && S_ISREG(status.st_mode) && ::lseek(fd_, 0, SEEK_CUR) == 0 &&
               status.st_size >= 64 * 1024;
    }
    std::uint64_t size_now() const {
        struct stat status {};
        if (::fstat(fd_, &status) != 0) refuse(path_, errno);
        return static_cast<std::uint64_t>(status.st_size);
    }

    std::size_t fill(std::span<std::byte> into) {
        std::size_t got = 0;
        while (got < into.size()) {
            const ssize_t n = ::read(fd_, into.data() + got, into.size() - got);
            if (n < 0 && errno == EINTR) continue;
            if (n < 0) refuse(path_, errno);
            if (n == 0) break;
            got += static_cast<std::size_t>(n);
        }
        return got;
    }

    int fd_;
    std::string path_;
    bool in_place_;
    std::optional<MappedWindow> window_;
    bool torn_ = false;  // an earlier window was
    std::array<std::byte, 4> peeked_{};
    std::size_t peeked_size_ = 0, peeked_given_ = 0;
};

constexpr std::size_t kPackedBlock = 128 * 1024;

class GzipInput final : public ByteInput {
public:
    explicit GzipInput(std::unique_ptr<PlainInput> packed)
        : packed_(std::move(packed)), block_(kPackedBlock) {
        if (inflateInit2(&stream_, 16 + MAX_WBITS) != Z_OK) throw std::bad_alloc();
    }
    ~GzipInput() override { inflateEnd(&stream_); }
    GzipInput(const GzipInput&) = delete;
    GzipInput& operator=(const GzipInput&) = delete;

    std::size_t read(std::span<std::byte> into) override {
        std::size_t got = 0;
        while (got < into.size() && damage_.empty() && !ended_) got += step(into.subspan(got));
        return got;
    }
    std::string damage() const override { return damage_; }

private:
    // zlib counts in unsigned char: the bytes go through buffers of that type.
    std::size_t step(std::span<std::byte> into) {
        if (stream_.avail_in == 0 && !refill()) return 0;
        std::array<unsigned char, 16 * 1024> plain;
        const auto room = std::min(into.size(), plain.size());
        stream_.next_out = plain.data();
        stream_.avail_out = static_cast<uInt>(room);
        const int status = inflate(&stream_, Z_NO_FLUSH);
        const std::size_t made = room - stream_.avail_out;
        std::ranges::transform(std::span(plain).first(made), into.begin(),
                               [](unsigned char c) { return std::byte{c}; });
        if (status == Z_STREAM_END) {
            whole_member_ = true;
            inflateReset(&stream_);
        } else if (status != Z_OK && status != Z_BUF_ERROR) {
            damage_ = "the gzip data is damaged";
        } else if (made > 0 || status == Z_OK) {
            whole_member_ = false;
        }
        return made;
    }

    bool refill() {
        std::vector<std::byte> raw(kPackedBlock);
        const std::size_t n = packed_->read(raw);
        ended_ = n == 0;
        if (ended_ && !whole_member_) damage_ = "the gzip data ends early";
        std::ranges::transform(std::span(raw).first(n), block_.begin(),
                               [](std::byte b) { return std::to_integer<unsigned char>(b); });
        stream_.next_in = block_.data();
        stream_.avail_in = static_cast<uInt>(n);
        return n > 0;
    }

    std::unique_ptr<PlainInput> packed_;
    std::vector<unsigned char> block_;
    z_stream stream_{};
    bool whole_member_ = false, ended_ = false;
    std::string damage_;
};

class ZstdInput final : public ByteInput {
public:
    explicit ZstdInput(std::unique_ptr<PlainInput> packed)
        : packed_(std::move(packed)), block_(kPackedBlock), context_(ZSTD_createDStream()) {
        if (context_ == nullptr) throw std::bad_alloc();
    }
    ~ZstdInput() override { ZSTD_freeDStream(context_); }
    ZstdInput(const ZstdInput&) = delete;
    ZstdInput& operator=(const ZstdInput&) = delete;

    std::size_t read(std::span<std::byte> into) override {
        ZSTD_outBuffer out{into.data(), into.size(), 0};
        while (out.pos < out.size && damage_.empty()) {
            if (in_.pos == in_.size && !refill()) break;
            const std::size_t left = ZSTD_decompressStream(context_, &out, &in_);
            if (ZSTD_isError(left) != 0) damage_ = "the Zstandard data is damaged";
            whole_frame_ = left == 0;
        }
        return out.pos;
    }
    std::string damage() const override { return damage_; }

private:
    bool refill() {
        in_ = {block_.data(), packed_->read(block_), 0};
        if (in_.size == 0 && !whole_frame_) damage_ = "the Zstandard data ends early";
        return in_.size > 0;
    }

    std::unique_ptr<PlainInput> packed_;
    std::vector<std::byte> block_;
    ZSTD_DStream* context_;
    ZSTD_inBuffer in_{nullptr, 0, 0};
    bool whole_frame_ = false;
    std::string damage_;
};

// RFC 8878: a frame (3.1.1), or one of the sixteen kinds that are skipped (3.1.2), as parallel packers put in front.
constexpr bool begins_zstandard(std::uint32_t first_four) {
    return first_four == 0x28B52FFD || (first_four & 0xF0FFFFFF) == 0x502A4D18;
}

int open_file(const std::string& path) {
    if (path == "-") return ::dup(STDIN_FILENO);
    const int fd = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
    if (fd < 0) refuse(path, errno);
    struct stat status {};
    if (::fstat(fd, &status) == 0 && S_ISDIR(status.st_mode)) {
        ::close(fd);
        refuse(path, EISDIR);
    }
    return fd;
}

}  // namespace

std::unique_ptr<ByteInput> open_input(const std::string& path) {
    auto plain = std::make_unique<PlainInput>(open_file(path), path);
    const ByteView head = plain->peek();
    if (head.size() >= 2 && read_u16(head, 0) == 0x1F8B)  // RFC 1952
        return std::make_unique<GzipInput>(std::move(plain));
    if (head.size() == 4 && begins_zstandard(read_u32(head, 0)))
        return std::make_unique<ZstdInput>(std::move(plain));
    return plain;
}

}  // namespace mastline
