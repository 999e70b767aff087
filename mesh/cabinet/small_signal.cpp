#include "mesh/cabinet/small_signal.h"

#include "mesh/cabinet/air.h"

#include <cmath>
#include <cstdio>
#include <numbers>
#include <string>
#include <vector>

namespace stillwall {
namespace {

constexpr double pi = std::numbers::pi;
constexpr Air air; // at 20 °C, as data sheets take it

using Figure = std::optional<double>;

/// All symbols of the relations, some known; ws is the angular frequency ωs [rad/s].
struct Figures
{
    Figure Re, Bl, Mms, Cms, ws, Vas, Rms, Qms, Qes, Qts, Sd;
};

/// Sets the unknown when all it follows from is known; true when it did.
template <class Rule, class... From> bool fill(Figure& unknown, Rule rule, const From&... from)
{
    if (unknown || !(from.has_value() && ...)) return false;
    unknown = rule(*from...);
    return true;
}

/// What is left of 1/whole = 1/part + 1/rest; not above zero when the whole is not below the part.
double other_part(double whole, double part)
{
    return 1 / (1 / whole - 1 / part);
}

/// One step of filling in; the order decides which of several ways is taken.
bool fill_one(Figures& f)
{
    const auto reciprocal = [](double w, double x) { return 1 / (w * w * x); };
    const auto ratio = [](double w, double M, double x) { return w * M / x; };
    return fill(f.Cms, reciprocal, f.ws, f.Mms) ||
           fill(
               f.Cms, [](double V, double S) { return V / (air.bulk_modulus() * S * S); }, f.Vas, f.Sd) ||
           fill(f.Mms, reciprocal, f.ws, f.Cms) ||
           fill(
               f.Mms, [](double Q, double Bl, double R, double w) { return Q * Bl * Bl / (w * R); }, f.Qes, f.Bl, f.Re,
               f.ws) ||
           fill(
               f.Mms, [](double Q, double R, double w) { return Q * R / w; }, f.Qms, f.Rms, f.ws) ||
           fill(
               f.ws, [](double M, double C) { return 1 / std::sqrt(M * C); }, f.Mms, f.Cms) ||
           fill(
               f.Sd, [](double V, double C) { return std::sqrt(V / (air.bulk_modulus() * C)); }, f.Vas, f.Cms) ||
           fill(f.Qms, ratio, f.ws, f.Mms, f.Rms) ||
           fill(
               f.Qes, [](double w, double M, double R, double Bl) { return w * M * R / (Bl * Bl); }, f.ws, f.Mms, f.Re,
               f.Bl) ||
           fill(f.Qms, other_part, f.Qts, f.Qes) || fill(f.Qes, other_part, f.Qts, f.Qms) ||
           fill(f.Rms, ratio, f.ws, f.Mms, f.Qms) ||
           fill(
               f.Bl, [](double w, double M, double R, double Q) { return std::sqrt(w * M * R / Q); }, f.ws, f.Mms, f.Re,
               f.Qes);
}

std::string four_digits(double value)
{
    char text[40];
    std::snprintf(text, sizeof text, "%.4g", value);
    return text;
}

std::string listed(const std::vector<std::string>& words)
{
    std::string text;
    for (std::size_t i = 0; i < words.size(); ++i)
        text += (i == 0 ? "" : i + 1 == words.size() ? " and " : ", ") + words[i];
    return text;
}

/// Those of the written figures that fix mass and compliance.
std::string mass_words(const SmallSignalPlan& plan)
{
    if (plan.Mms && plan.Cms) return "Mms and Cms";
    if (plan.fs && (plan.Mms || plan.Cms)) return plan.Mms ? "Mms and fs" : "Cms and fs";
    if (!plan.Vas) return "the other figures";
    return plan.Mms ? "Mms, Vas and Sd" : "fs, Vas and Sd";
}

/// Where and how to complain.
class Complaint
{
public:
    Complaint(const SourcePos& where, std::string_view key) : where_(&where), key_(key) {}

    [[noreturn]] void fail(const std::string& symbol, const std::string& problem) const
    {
        throw InputError(*where_, symbol.empty() ? key_ : key_ + "." + symbol, problem);
    }

    /// Refuses a written figure that is not what follows from others.
    void compare(const std::string& symbol, const Figure& written, double follows, double unit,
                 const std::string& unit_name, const std::string& from) const
    {
        if (!written || std::abs(*written / follows - 1) <= small_signal_tolerance) return;
        const auto told = [&](double value) { return four_digits(value / unit) + unit_name; };
        fail(symbol, told(*written) + " is written, but " + told(follows) + " follows from " + from +
                         "; correct one of them or leave " + symbol + " out");
    }

private:
    const SourcePos* where_;
    std::string key_;
};

void check_written(const SmallSignalPlan& plan, const Complaint& complaint)
{
    const struct
    {
        const char* symbol;
        const Figure& value;
        bool is_of_motor;
    } all[] = {{"Re", plan.Re, true},    {"Bl", plan.Bl, true},    {"Qes", plan.Qes, true}, {"Qts", plan.Qts, true},
               {"Mms", plan.Mms, false}, {"Cms", plan.Cms, false}, {"fs", plan.fs, false},  {"Vas", plan.Vas, false},
               {"Rms", plan.Rms, false}, {"Qms", plan.Qms, false}, {"Sd", plan.Sd, false}};
    for (const auto& one : all) {
        if (!one.value) continue;
        if (one.is_of_motor && !plan.has_motor)
            complaint.fail(one.symbol, "a passive radiator has no motor, leave it out");
        if (!(*one.value > 0) || !std::isfinite(*one.value)) complaint.fail(one.symbol, "must be above zero");
    }
    if (!plan.has_motor && (plan.Le || plan.Le_exponent))
        complaint.fail(plan.Le ? "Le" : "Le_exponent", "a passive radiator has no motor, leave it out");
    if (plan.Le && !(*plan.Le >= 0 && std::isfinite(*plan.Le))) complaint.fail("Le", "must not be negative");
    if (plan.Le_exponent && !(*plan.Le_exponent >= 0.4 && *plan.Le_exponent <= 1))
        complaint.fail("Le_exponent", "must lie between 0.4 and 1, got " + four_digits(*plan.Le_exponent));
}

/// Says what is still needed, or returns when nothing is.
void check_complete(const SmallSignalPlan& plan, const Figures& f, const Complaint& complaint)
{
    std::vector<std::string> needed;
    if (!f.Sd) needed.emplace_back("Sd");
    if (!f.Mms || !f.Cms) {
        std::vector<std::string> given;
        if (plan.Mms) given.emplace_back("Mms");
        if (plan.Cms) given.emplace_back("Cms");
        if (plan.fs) given.emplace_back("fs");
        if (plan.Vas) given.emplace_back("Vas");
        if (plan.Cms && plan.Vas)
            needed.emplace_back("Mms or fs");
        else if (given.empty())
            needed.emplace_back("two of Mms, Cms, fs and Vas");
        else if (given.size() == 1) // with two of them only Sd is lacking
            needed.push_back("one more of Mms, Cms, fs and Vas beside " + given[0]);
    }
    if (plan.has_motor && !f.Re) needed.emplace_back("Re");
    // What is damped by the motor and what by friction: each by itself, or one of them and the total.
    const bool has_friction = plan.Rms || plan.Qms, has_motor = plan.Bl || plan.Qes;
    if (!plan.has_motor && !has_friction) needed.emplace_back("Qms or Rms");
    if (plan.has_motor && !(has_friction && has_motor)) {
        if (!has_friction && !has_motor)
            needed.emplace_back(plan.Qts ? "one of Qms, Qes, Rms and Bl beside Qts"
                                         : "two of Qms (or Rms), Qes (or Bl) and Qts");
        else if (!plan.Qts)
            needed.emplace_back(has_friction ? "Bl, Qes or Qts" : "Qms, Rms or Qts");
    }
    if (!needed.empty()) {
        std::string text;
        for (const std::string& one : needed) text += (text.empty() ? "" : "; ") + one;
        complaint.fail("", "too few figures, still needed: " + text);
    }
}

/// Where one part is taken from the total, the total must be below the other part.
void check_total(const SmallSignalPlan& plan, const Figures& f, const Complaint& complaint)
{
    if (!plan.has_motor || !plan.Qts) return;
    const bool has_friction = plan.Rms || plan.Qms;
    if (has_friction && (plan.Bl || plan.Qes)) return; // all three are written and get compared
    const Figure& part = has_friction ? f.Qms : f.Qes;
    if (part && *plan.Qts >= *part)
        complaint.fail("Qts", std::string("must be below ") + (has_friction ? "Qms" : "Qes") + ", which is " +
                                  four_digits(*part) + ", got " + four_digits(*plan.Qts));
}

/// A slip in a unit shows in what follows.
void check_possible(const SmallSignal& s, const Complaint& complaint)
{
    const struct
    {
        const char* symbol;
        double value, low, high, unit;
        const char* unit_name;
    } all[] = {{"Mms", s.Mms, 2e-5, 10, 1e-3, " g"},
               {"Cms", s.Cms, 1e-7, 0.2, 1e-3, " mm/N"},
               {"Rms", s.Rms, 1e-4, 2000, 1, " kg/s"},
               {"Bl", s.Bl, 0.05, 200, 1, " N/A"},
               {"Sd", s.Sd, 2e-5, 1, 1e-4, " cm2"}};
    const bool has_motor = s.Re > 0;
    for (const auto& one : all) {
        if (one.symbol == std::string_view("Bl") && !has_motor) continue;
        if (one.value >= one.low && one.value <= one.high) continue;
        complaint.fail("", std::string(one.symbol) + " comes out as " + four_digits(one.value / one.unit) +
                               one.unit_name + ", possible are " + four_digits(one.low / one.unit) + " to " +
                               four_digits(one.high / one.unit) + one.unit_name + "; check figures and units");
    }
    // Air that moves along with a bare disk in free air, 8/3 ρ a³ with Sd = π a² (Lamb, Hydrodynamics, § 102, from
    // memory): Mms holds it.
    const double radius = std::sqrt(s.Sd / pi), air_mass = 8.0 / 3 * air.density * radius * radius * radius;
    if (s.Mms < air_mass)
        complaint.fail("", "Mms comes out as " + four_digits(s.Mms * 1e3) +
                               " g, but the air that moves along with such a cone alone weighs " +
                               four_digits(air_mass * 1e3) + " g; check figures and units");
}

void check_consistent(const SmallSignalPlan& plan, const SmallSignal& s, const Complaint& complaint)
{
    const std::string mass = mass_words(plan);
    complaint.compare("fs", plan.fs, s.fs(), 1, " Hz", mass);
    complaint.compare("Vas", plan.Vas, s.Vas(), 1e-3, " l",
                      plan.Cms ? "Cms and Sd" : mass + (plan.Mms && plan.fs ? " with Sd" : ""));
    complaint.compare("Qms", plan.Qms, s.Qms(), 1, "", (plan.Rms ? "Rms with " : "Qts and Qes with ") + mass);
    if (!plan.has_motor) return;
    complaint.compare("Qes", plan.Qes, s.Qes(), 1, "", (plan.Bl ? "Bl and Re with " : "Qts and Qms with ") + mass);
    const double Qts = 1 / (1 / s.Qms() + 1 / s.Qes());
    complaint.compare("Qts", plan.Qts, Qts, 1, "",
                      listed({plan.Rms ? "Rms" : "Qms", plan.Bl ? "Bl" : "Qes"}) +
                          (plan.Rms || plan.Bl ? " with " + mass : ""));
}

} // namespace

double SmallSignal::fs() const
{
    return 1 / (2 * pi * std::sqrt(Mms * Cms));
}

double SmallSignal::Qms() const
{
    return 2 * pi * fs() * Mms / Rms;
}

double SmallSignal::Qes() const
{
    return 2 * pi * fs() * Mms * Re / (Bl * Bl);
}

double SmallSignal::Vas() const
{
    return air.bulk_modulus() * Sd * Sd * Cms;
}

SmallSignal resolve_small_signal(const SmallSignalPlan& plan, const SourcePos& where, std::string_view key)
{
    const Complaint complaint(where, key);
    check_written(plan, complaint);
    Figures f{plan.Re, plan.Bl, plan.Mms, plan.Cms, {}, plan.Vas, plan.Rms, plan.Qms, plan.Qes, plan.Qts, plan.Sd};
    if (plan.fs) f.ws = 2 * pi * *plan.fs;
    // Mass and compliance first: with both written fs is only checked.
    if (plan.Mms && plan.Cms) f.ws = 1 / std::sqrt(*plan.Mms * *plan.Cms);
    while (fill_one(f)) {
    }
    check_complete(plan, f, complaint);
    check_total(plan, f, complaint);
    if (!f.Mms || !f.Cms || !f.Rms || !f.Sd || (plan.has_motor && (!f.Re || !f.Bl)))
        complaint.fail(
            "",
            "too few figures to tell mass, compliance, friction and motor apart; give Mms, Cms, Rms, Bl, Re and Sd");

    SmallSignal s;
    if (plan.has_motor) {
        s.Re = *f.Re;
        s.Bl = *f.Bl;
        s.Le = plan.Le.value_or(0);
        s.Le_exponent = plan.Le_exponent.value_or(1);
    }
    s.Mms = *f.Mms;
    s.Cms = *f.Cms;
    s.Rms = *f.Rms;
    s.Sd = *f.Sd;
    check_possible(s, complaint);
    check_consistent(plan, s, complaint);
    return s;
}

} // namespace stillwall
