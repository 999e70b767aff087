#pragma once
// Values as bytes between processes of this program. Not a file format.
//
// A type of several parts is taken along by a function beside it that names them once for both ways:
//     template <class Archive> void pass(Archive& archive, typename Archive::template Ref<Type> value)
//     {
//         archive(value.one, value.other);
//     }

#include "mesh/cabinet/error.h"

#include <cstring>
#include <optional>
#include <string>
#include <type_traits>
#include <vector>

namespace stillwall::solver {

class Packer
{
public:
    template <class T> using Ref = const T&;

    template <class... T> void operator()(const T&... values) { (put(values), ...); }
    [[nodiscard]] std::string take() { return std::move(bytes_); }

private:
    template <class T> void put(const T& value)
    {
        if constexpr (std::is_same_v<T, std::string>) {
            put(value.size());
            bytes_ += value;
        } else if constexpr (std::is_trivially_copyable_v<T>) {
            bytes_.append(reinterpret_cast<const char*>(&value), sizeof value);
        } else {
            pass(*this, value);
        }
    }
    template <class T> void put(const std::vector<T>& values)
    {
        put(values.size());
        for (const T& value : values) put(value);
    }
    template <class T> void put(const std::optional<T>& value)
    {
        put(value.has_value());
        if (value) put(*value);
    }

    std::string bytes_;
};

/// Reads in the order of writing.
class Unpacker
{
public:
    template <class T> using Ref = T&;

    /// Keeps a reference.
    explicit Unpacker(const std::string& bytes) : bytes_(bytes) {}

    /// @throws Error  when less was sent
    template <class... T> void operator()(T&... values) { (get(values), ...); }

private:
    template <class T> void get(T& value)
    {
        if constexpr (std::is_same_v<T, std::string>) {
            std::size_t size = 0;
            get(size);
            need(size);
            value.assign(bytes_, at_, size);
            at_ += size;
        } else if constexpr (std::is_trivially_copyable_v<T>) {
            need(sizeof value);
            std::memcpy(&value, bytes_.data() + at_, sizeof value);
            at_ += sizeof value;
        } else {
            pass(*this, value);
        }
    }
    template <class T> void get(std::vector<T>& values)
    {
        std::size_t size = 0;
        get(size);
        need(size); // an element takes a byte at least
        values.resize(size);
        for (T& value : values) get(value);
    }
    template <class T> void get(std::optional<T>& value)
    {
        bool is_there = false;
        get(is_there);
        value.reset();
        if (is_there) get(value.emplace());
    }

    void need(std::size_t size) const
    {
        if (bytes_.size() - at_ < size) throw Error("a process sent less than it should");
    }
    const std::string& bytes_;
    std::size_t at_ = 0;
};

} // namespace stillwall::solver
