#pragma once
// The same work for many items, on the machine's cores.

#include <cstddef>
#include <functional>

namespace stillwall::solver::internal {

/// Calls work(i) for i = 0 … n − 1 from several threads, with one BLAS thread each. The first exception is passed on.
void for_each_item(std::size_t n, const std::function<void(std::size_t)>& work);

} // namespace stillwall::solver::internal
