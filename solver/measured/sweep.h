#pragma once
// Something measured over frequency.

#include <Eigen/Core>

#include <string>
#include <vector>

namespace stillwall::solver {

/// An impedance sweep at a loudspeaker's terminals.
struct Sweep
{
    std::string name;         ///< for messages: the file
    std::vector<double> f_Hz; ///< strictly ascending, > 0, at least 2
    Eigen::VectorXcd Z;       ///< [ohm], e^{+jωt}; |Z| on the real axis when the phase is not known
    bool has_phase = true;

    [[nodiscard]] Eigen::Index size() const { return Z.size(); }
};

/// One response of a structure to one force, evenly spaced in frequency.
struct TransferFunction
{
    std::string name;   ///< of the record, or "response 12 +Z / force 3 +Z"
    double f_first = 0; ///< [Hz] ≥ 0
    double f_step = 0;  ///< [Hz] > 0
    Eigen::VectorXcd H; ///< any unit, e^{+jωt}
    enum class Response
    {
        Displacement,
        Velocity,
        Acceleration,
        Unknown
    };
    Response response = Response::Unknown;
};

} // namespace stillwall::solver
