#pragma once
// Values as bytes between processes of this program. Not a file format.

#include "mesh/cabinet/error.h"

#include <cstring>
#include <string>
#include <type_traits>
#include <vector>

namespace stillwall::app {

class Packer
{
public:
    template <class T> void put(const T& value)
    {
        if constexpr (std::is_same_v<T, std::string>) {
            put(value.size());
            bytes_ += value;
        } else {
            static_assert(std::is_trivially_copyable_v<T>);
            bytes_.append(reinterpret_cast<const char*>(&value), sizeof value);
        }
    }
    template <class T> void put(const std::vector<T>& values)
    {
        put(values.size());
        for (const T& value : values) put(value);
    }
    [[nodiscard]] std::string take() { return std::move(bytes_); }

private:
    std::string bytes_;
};

/// Reads in the order of writing.
class Unpacker
{
public:
    explicit Unpacker(const std::string& bytes) : bytes_(bytes) {}

    template <class T> void get(T& value)
    {
        if constexpr (std::is_same_v<T, std::string>) {
            std::size_t size = 0;
            get(size);
            need(size);
            value.assign(bytes_, at_, size);
            at_ += size;
        } else {
            static_assert(std::is_trivially_copyable_v<T>);
            need(sizeof value);
            std::memcpy(&value, bytes_.data() + at_, sizeof value);
            at_ += sizeof value;
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

private:
    void need(std::size_t size) const
    {
        if (bytes_.size() - at_ < size) throw Error("a process sent less than it should");
    }
    const std::string& bytes_;
    std::size_t at_ = 0;
};

} // namespace stillwall::app
