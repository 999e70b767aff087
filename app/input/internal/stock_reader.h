#pragma once
// What a board is made of, as written in a cabinet file → lay-ups and materials.

#include "app/input/internal/like_material.h"
#include "app/input/internal/yaml_node.h"
#include "app/input/material_file.h"
#include "mesh/cabinet/plan.h"

#include <map>
#include <optional>

namespace stillwall::app {

/// The keys of a board that say what it is made of: `material` and `thickness`, or `layers`; `grain`, `welded`.
struct StockChoice
{
    std::optional<YamlNode> material, thickness, layers, grain, welded;

    /// What is not said here is taken from `fallback`.
    [[nodiscard]] StockChoice or_else(const StockChoice& fallback) const;
    [[nodiscard]] GrainRule grain_rule() const; ///< LongerEdge unless `grain` says otherwise
    [[nodiscard]] double grain_angle() const;   ///< [rad] from the board's first axis
};

/// Picks these keys from a map.
[[nodiscard]] StockChoice choice_of(const YamlNode& part);

/// Turns names into materials, adding each once to the plan's list.
class StockReader
{
public:
    StockReader(const MaterialLibrary& library, std::vector<Material>& materials)
        : library_(&library), materials_(&materials)
    {
    }

    /// `materials`: the file's own, to be read before anything refers to them.
    void read_own_materials(const YamlNode& node);

    /// `cabinet.welded`: boards are welded together that do not say otherwise.
    void set_welded(bool is_welded) { is_welded_ = is_welded; }

    /// Boards of a stock with a loss of assemblies lose as much, unless they are welded together.
    /// @param part  where to complain when the choice is incomplete
    /// @param is_bought  a sheet for sale, which may be as thin as a veneer
    [[nodiscard]] Layup layup(const StockChoice& choice, const YamlNode& part, bool is_bought = false);

    /// What is bonded to a face, from the board outwards.
    /// @param part  holds `material` and `thickness`, or `layers`
    [[nodiscard]] Layup face_layup(const YamlNode& part);

    /// Index of the material of a bar whose smaller side is `thickness` [m].
    [[nodiscard]] int bar_material(const YamlNode& name, double thickness);

private:
    /// What a board of the library's metals loses: as the bare stock, or as boards that are bolted or glued together.
    enum class Loss
    {
        Bare,
        OfAssembly
    };
    [[nodiscard]] Layup single(const YamlNode& name, double thickness, Loss loss);
    /// Index of an own material in a board of this thickness; nothing when the name is none of the file's own.
    [[nodiscard]] std::optional<int> own(const std::string& name, double thickness, Loss loss);
    /// Index of the material, which is added unless one has its name.
    [[nodiscard]] int known_or_new(const Material& material);
    [[nodiscard]] Layup layered(const YamlNode& layers, bool is_board, Loss loss);
    [[nodiscard]] bool is_faced(const std::string& name) const;
    void check_new_name(const YamlNode& node, const std::string& name) const;

    const MaterialLibrary* library_;
    bool is_welded_ = false;
    std::vector<Material>* materials_;
    std::map<std::string, int> own_; ///< name → index
    std::map<std::string, LikeMaterial> like_;
};

} // namespace stillwall::app
