#include "app/input/cabinet_file.h"

#include "app/input/cabinet_source.h"
#include "app/input/internal/nearest.h"
#include "app/input/internal/place.h"
#include "app/input/internal/plan_reader.h"
#include "app/input/internal/read_learned.h"
#include "app/input/internal/read_plan.h"
#include "app/input/internal/text_file.h"
#include "app/input/material_file.h"
#include "mesh/cabinet/opening.h"
#include "mesh/cabinet/stock_name.h"

namespace stillwall::app {
namespace {

constexpr Limits upper_frequency_limits{50, 6000};
constexpr Limits temperature_limits{-20, 80};

LengthUnit read_units(const YamlNode& root)
{
    constexpr LengthUnit units[] = {LengthUnit::Millimetre, LengthUnit::Centimetre, LengthUnit::Inch};
    const auto node = root.find("units");
    return node ? units[node->choice({"mm", "cm", "in"})] : LengthUnit::Millimetre;
}

void read_head(const YamlNode& root, CabinetPlan& plan)
{
    const YamlNode name = root.at("name");
    plan.name = name.text();
    check_name(name, plan.name);
    if (const auto note = root.find("note"); note && !note->is_scalar()) note->fail("must be text");
    if (const auto analysis = root.find("analysis")) {
        analysis->only_keys({"upper_frequency", "temperature"});
        if (const auto f = analysis->find("upper_frequency"))
            plan.f_max = f->measure(Dimension::Frequency, upper_frequency_limits);
        if (const auto t = analysis->find("temperature"))
            plan.temperature = t->measure(Dimension::Temperature, temperature_limits);
    }
}

/// What was learned of each material and basket, once all of them are known. The name of a stock means its boards of
/// all thicknesses.
void use_learned(const Learned& learned, CabinetPlan& plan)
{
    std::vector<std::string> names;
    for (const Material& m : plan.materials) names.push_back(m.name);
    for (const LearnedMaterial& l : learned.materials) {
        bool is_known = false;
        for (Material& m : plan.materials) {
            if (m.name != l.material && stock_name(m.name) != l.material) continue;
            apply_learned(l, m);
            is_known = true;
        }
        if (!is_known)
            throw InputError(l.where, "learned",
                             "unknown material '" + l.material + "' in this cabinet" + hint_from(l.material, names));
    }
    for (const LearnedBasket& l : learned.baskets) {
        bool is_known = false;
        std::vector<std::string> drivers;
        for (OpeningPlan& opening : plan.openings) {
            if (!opening.insert.basket) continue;
            const std::string& name = insert_name(opening);
            drivers.push_back(name);
            if (name != l.driver) continue;
            apply_learned(l, *opening.insert.basket);
            is_known = true;
        }
        if (!is_known)
            throw InputError(l.where, "learned",
                             "no driver '" + l.driver + "' on a basket in this cabinet" + hint_from(l.driver, drivers));
    }
}

} // namespace

CabinetPlan read_plan(const YamlDocument& document, const MaterialLibrary& library, WorkshopPlan* workshop)
{
    const YamlNode bare_root = document.root();
    bare_root.only_keys({"name",     "note", "units",  "cabinet",  "boards",   "laps",     "openings",  "braces",
                         "rods",     "ribs", "masses", "damping",  "joints",   "supports", "materials", "learned",
                         "analysis", "air",  "sound",  "workshop", "variants", "vary",     "improve",   "record"});
    const YamlNode root = bare_root.with_length_unit(read_units(bare_root));

    CabinetPlan plan;
    plan.file = document.file();
    StockReader stock(library, plan.materials);
    read_head(root, plan);
    read_shape(root.at("cabinet"), plan);
    if (const auto welded = root.at("cabinet").find("welded")) stock.set_welded(welded->choice({"no", "yes"}) == 1);
    if (const auto own = root.find("materials")) stock.read_own_materials(*own);
    if (const auto shop = root.find("workshop"); shop && workshop) {
        std::vector<Material> materials = plan.materials; // what is only in the shop is not in the cabinet
        StockReader shop_stock(library, materials);
        if (const auto own = root.find("materials")) shop_stock.read_own_materials(*own);
        *workshop = read_workshop(*shop, shop_stock);
    }
    const StockChoice all = read_boards(root.at("boards"), stock, plan);
    if (const auto laps = root.find("laps")) read_laps(*laps, plan);
    if (const auto braces = root.find("braces")) read_braces(*braces, all, stock, plan);
    if (const auto openings = root.find("openings")) read_openings(*openings, library, plan);
    if (const auto rods = root.find("rods")) read_rods(*rods, stock, plan);
    if (const auto ribs = root.find("ribs")) read_ribs(*ribs, stock, plan);
    if (const auto masses = root.find("masses")) read_masses(*masses, plan);
    if (const auto damping = root.find("damping")) read_damping(*damping, stock, plan);
    if (const auto joints = root.find("joints")) read_joints(*joints, library, plan);
    if (const auto supports = root.find("supports")) read_supports(*supports, library, plan);
    if (const auto air = root.find("air")) read_air(*air, library, plan);
    if (const auto sound = root.find("sound")) read_sound(*sound, plan);
    if (const auto learned = root.find("learned")) use_learned(read_learned(*learned), plan);
    return plan;
}

CabinetPlan parse_cabinet(std::string_view text, const std::string& file, const MaterialLibrary& library)
{
    return CabinetSource(std::string(text), file, library).plan();
}

std::string whole_text(const std::filesystem::path& file)
{
    return load_text(file);
}

CabinetPlan read_cabinet(const std::filesystem::path& file, const MaterialLibrary& library)
{
    return parse_cabinet(load_text(file), file.string(), library);
}

} // namespace stillwall::app
