#pragma once
// A large array of doubles that is not initialised and, where the system can, lies on large pages.

#include <cstddef>
#include <cstdlib>
#include <memory>
#include <new>

#include <sys/mman.h>

namespace stillwall::solver::internal {

/// std::vector would write zeros into every page first; touching 4 KiB pages one by one costs a third of a
/// factorisation.
class Buffer
{
public:
    Buffer() = default;
    explicit Buffer(std::size_t n)
    {
        constexpr std::size_t large_page = std::size_t{1} << 21;
        const std::size_t bytes = n * sizeof(double);
        const std::size_t alignment = bytes >= large_page ? large_page : std::size_t{64};
        const std::size_t padded = (bytes + alignment - 1) / alignment * alignment;
        if (padded == 0) return;
        data_.reset(static_cast<double*>(std::aligned_alloc(alignment, padded)));
        if (!data_) throw std::bad_alloc();
        if (bytes >= large_page) madvise(data_.get(), padded, MADV_HUGEPAGE); // a hint, may fail
    }
    [[nodiscard]] double* data() { return data_.get(); }
    [[nodiscard]] const double* data() const { return data_.get(); }

private:
    struct Free
    {
        void operator()(double* p) const { std::free(p); }
    };
    std::unique_ptr<double[], Free> data_;
};

} // namespace stillwall::solver::internal
