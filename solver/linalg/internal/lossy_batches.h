#pragma once
// Which modes are enriched together, with which factor, and on which thread.

#include "solver/linalg/internal/enrich.h"

namespace stillwall::solver::internal {

class LossyBatches
{
public:
    /// All must outlive this object.
    LossyBatches(const LossyOperator& op, const SearchSpace& space, const std::shared_ptr<const FrontTree>& tree,
                 const ComplexModesOptions& options)
        : op_(op), space_(space), tree_(tree), options_(options)
    {
    }

    /// @param modes  sorted by Re λ
    [[nodiscard]] EnrichedModes enrich(std::span<const ReducedMode> modes) const;

private:
    using Batch = std::vector<ReducedMode>;
    [[nodiscard]] std::vector<EnrichedModes> enrich_side_by_side(const SearchSpace& space, const ShiftedFactor& factor,
                                                                 const std::vector<Batch>& batches) const;

    const LossyOperator& op_;
    const SearchSpace& space_;
    const std::shared_ptr<const FrontTree>& tree_;
    const ComplexModesOptions& options_;
};

} // namespace stillwall::solver::internal
