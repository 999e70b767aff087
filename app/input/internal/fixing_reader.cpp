#include "app/input/internal/fixing_reader.h"

#include "app/input/internal/figure_reader.h"
#include "app/input/internal/nearest.h"

#include <fmt/format.h>

#include <algorithm>

namespace stillwall::app {
namespace {

std::vector<std::string_view> keys_of(Fixing::Use use)
{
    switch (use) {
    case Fixing::Use::Screw:
        return {"diameter", "spacing", "shear", "axial", "loss"};
    case Fixing::Use::Strip:
        return {"E", "loss"};
    case Fixing::Use::Mount:
        return {"stiffness", "loss"};
    case Fixing::Use::Filling:
        return {"flow_resistivity", "density"};
    case Fixing::Use::Support:
        break;
    }
    return {"stiffness_x", "stiffness_y", "stiffness_z", "loss"};
}

const Figure* find_figure(const Fixing& fixing, std::string_view key)
{
    const auto& figures = fixing.figures.figures;
    const auto found =
        std::find_if(figures.begin(), figures.end(), [key](const Figure& figure) { return figure.key == key; });
    return found == figures.end() ? nullptr : &*found;
}

void check_figures(const YamlNode& node, const Fixing& fixing)
{
    const std::vector<std::string_view> keys = keys_of(fixing.use);
    for (std::string_view key : keys)
        if (find_figure(fixing, key) == nullptr) node.fail(fmt::format("{} is missing", key));
    for (const Figure& figure : fixing.figures.figures) {
        if (std::find(keys.begin(), keys.end(), figure.key) == keys.end())
            node.fail(fmt::format("{} is no figure of such a fixing", figure.key));
        const bool may_be_nought = figure.key == "loss";
        if (figure.quantity.low < 0 || (figure.quantity.low == 0 && !may_be_nought))
            node.fail(fmt::format("{} must be above zero", figure.key));
    }
}

} // namespace

const Quantity& Fixing::figure(std::string_view key) const
{
    const Figure* found = find_figure(*this, key);
    if (found == nullptr) throw MaterialError(fmt::format("fixing '{}' has no figure {}", name, key));
    return found->quantity;
}

const Fixing& find_fixing(const MaterialLibrary& library, Fixing::Use use, std::string_view name)
{
    std::vector<std::string> known;
    for (const Fixing& fixing : library.fixings) {
        if (fixing.use != use) continue;
        if (fixing.name == name) return fixing;
        known.push_back(fixing.name);
    }
    if (known.empty()) throw MaterialError("the materials folder holds no fixings of this kind, give the figures");
    throw MaterialError(fmt::format("unknown word '{}'{}", name, hint_from(name, known)));
}

void read_fixing_file(const std::filesystem::path& file, std::vector<Fixing>& fixings)
{
    const YamlDocument document = read_yaml(file);
    const YamlNode root = document.root();
    root.only_keys({"family", "caution", "fixings"});
    for (const YamlNode::Entry& entry : root.at("fixings").entries()) {
        entry.value.only_keys({"title", "use", "note", "figures"});
        Fixing fixing;
        fixing.name = entry.key;
        fixing.family = root.at("family").text();
        if (const auto caution = root.find("caution")) fixing.caution = caution->text();
        fixing.title = entry.value.at("title").text();
        fixing.use =
            static_cast<Fixing::Use>(entry.value.at("use").choice({"screw", "strip", "mount", "support", "filling"}));
        if (const auto note = entry.value.find("note")) fixing.note = note->text();
        fixing.figures = read_group(entry.value.at("figures"), "");
        check_figures(entry.value, fixing);
        const bool is_taken = std::any_of(fixings.begin(), fixings.end(), [&](const Fixing& other) {
            return other.name == fixing.name && other.use == fixing.use;
        });
        if (is_taken) throw InputError(entry.key_where, fixing.name, "name is taken by another fixing of this use");
        fixings.push_back(std::move(fixing));
    }
}

} // namespace stillwall::app
