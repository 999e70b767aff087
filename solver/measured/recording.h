#pragma once
// A recorded sound.

#include <Eigen/Core>

#include <optional>
#include <string>

namespace stillwall::solver {

struct Recording
{
    std::string name;        ///< for messages: the file
    double rate_Hz = 0;      ///< samples per second, > 0
    Eigen::VectorXd samples; ///< one channel; whole-number formats lie in −1 … 1
    /// 16, 24, 32 of whole numbers; nothing: floating point, which may exceed 1 without being clipped.
    std::optional<int> bits;

    [[nodiscard]] double seconds() const { return rate_Hz > 0 ? static_cast<double>(samples.size()) / rate_Hz : 0; }
};

} // namespace stillwall::solver
