#pragma once
// Which part holds a mode's energy, and which part eats it.

#include "solver/modes/analysis.h"
#include "solver/structure/energy.h"

namespace stillwall::solver {

/// Splits a layered section's loss by layer, once for all modes.
class Shares
{
public:
    Shares(const Cabinet& cabinet, const Structure& structure);

    /// Fills boards, loss, losses, moves_whole, on_mount and on_basket of a mode.
    void fill(const ModeEnergy& energy, const StructureState& state, Mode& mode) const;

private:
    struct LayerLoss
    {
        int layer;
        Matrix8d C_loss; ///< the layer's plies' share of the section's
    };
    const Cabinet& cabinet_;
    const Structure& structure_;
    std::vector<std::vector<LayerLoss>> layers_; ///< per group
};

} // namespace stillwall::solver
