#include "app/input/internal/read_learned.h"

#include <set>

namespace stillwall::app {
namespace {

constexpr Limits factor_limits{0.2, 5}, loss_limits{0.05, 20}, error_limits{0.001, 1};

std::optional<LearnedMaterial::Factor> read_factor(const YamlNode& entry, const std::string& key, Limits limits)
{
    const auto value = entry.find(key), error = entry.find(key + "_error");
    if (!value && error) error->fail("stands without '" + key + "'");
    if (!value) return std::nullopt;
    return LearnedMaterial::Factor{value->number(limits), entry.at(key + "_error").ratio(error_limits)};
}

} // namespace

Learned read_learned(const YamlNode& list)
{
    Learned all;
    std::set<std::string> taken, taken_drivers;
    for (const YamlNode& entry : list.items()) {
        if (const auto driver = entry.find("driver")) {
            entry.only_keys({"driver", "motor_frequency", "motor_frequency_error"});
            if (!taken_drivers.insert(driver->text()).second) driver->fail("'" + driver->text() + "' is listed twice");
            const auto factor = read_factor(entry, "motor_frequency", factor_limits);
            if (!factor) entry.fail("needs motor_frequency");
            all.baskets.push_back({driver->text(), *factor, entry.where()});
            continue;
        }
        entry.only_keys({"material", "stiffness", "stiffness_error", "shear", "shear_error", "loss", "loss_error"});
        LearnedMaterial m;
        m.where = entry.where();
        m.material = entry.at("material").text();
        if (!taken.insert(m.material).second) entry.at("material").fail("'" + m.material + "' is listed twice");
        m.stiffness = read_factor(entry, "stiffness", factor_limits);
        m.shear = read_factor(entry, "shear", factor_limits);
        m.loss = read_factor(entry, "loss", loss_limits);
        if (!m.stiffness && !m.shear && !m.loss) entry.fail("needs stiffness, shear or loss");
        all.materials.push_back(std::move(m));
    }
    return all;
}

} // namespace stillwall::app
