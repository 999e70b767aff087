#pragma once
// The parts of a cabinet file that are about other cabinets than the one drawn: `variants`, `vary`, `improve`,
// `workshop`.

#include "app/input/cabinet_source.h"
#include "app/input/internal/stock_reader.h"

namespace stillwall::app {

/// One entry of `variants`; its nodes point into the document.
struct VariantNode
{
    std::string name;
    std::optional<YamlNode> change, remove, add;
    SourcePos where;
};

[[nodiscard]] std::vector<VariantNode> read_variants(const YamlNode& variants);

/// The tree of the base with a variant's parts taken out, changed and added, in this order.
[[nodiscard]] YamlTree varied(YamlTree base, const VariantNode& variant);

[[nodiscard]] std::vector<ChangeAxis> read_vary(const YamlNode& vary);
[[nodiscard]] ImproveAsk read_improve(const YamlNode& improve);
[[nodiscard]] WorkshopPlan read_workshop(const YamlNode& workshop, StockReader& stock);

} // namespace stillwall::app
