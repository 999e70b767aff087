#include "solver/drive/internal/build_player.h"

#include "mesh/cabinet/error.h"
#include "solver/drive/air_mode_name.h"
#include "solver/drive/crossover.h"
#include "solver/drive/skin.h"
#include "solver/linalg/seconds.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>

namespace stillwall::solver::internal {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;

constexpr Index n_pressure_loads = 12; ///< lowest air modes whose pressure the walls' static response is added for

const RimTap* tap_of(const Structure& structure, const Source& source)
{
    const auto found = std::find_if(structure.taps.begin(), structure.taps.end(), [&](const RimTap& tap) {
        return tap.board == source.board && tap.name == source.name;
    });
    return found == structure.taps.end() ? nullptr : &*found;
}

/// Forces of the baskets and of the lowest air modes on the walls' unknowns.
MatrixXd wall_loads(const Structure& structure, const std::vector<SourceModel>& sources, const RowMatrix& C,
                    const MatrixXd& Psi)
{
    const Index n_pressure = std::min(n_pressure_loads, Psi.cols());
    std::vector<const RimTap*> baskets;
    for (const SourceModel& m : sources)
        if (const RimTap* tap = m.cone ? tap_of(structure, m.source) : nullptr) baskets.push_back(tap);
    MatrixXd loads = MatrixXd::Zero(C.cols(), n_pressure + static_cast<Index>(baskets.size()));
    loads.leftCols(n_pressure) = C.transpose() * Psi.leftCols(n_pressure);
    Index column = n_pressure;
    for (const RimTap* tap : baskets) {
        for (std::size_t n = 0; n < tap->nodes.size(); ++n)
            loads.col(column).segment<6>(6 * tap->nodes[n]) +=
                tap->row.segment<6>(6 * static_cast<Index>(n)).transpose();
        ++column;
    }
    return loads;
}

std::vector<Coupled::Circuit> circuits_of(const SoundSetting& setting, const std::vector<SourceModel>& sources)
{
    std::vector<Coupled::Circuit> circuits;
    for (const Way& way : setting.ways) {
        Coupled::Circuit circuit;
        circuit.is_series = way.is_series;
        for (const Way::Driver& d : way.drivers) {
            for (std::size_t s = 0; s < sources.size(); ++s)
                if (sources[s].source.board == d.board && sources[s].source.opening == d.opening)
                    circuit.drivers.push_back({static_cast<int>(s), d.sign});
        }
        if (circuit.drivers.size() != way.drivers.size())
            throw DomainError(fmt::format("way '{}' holds a driver without small-signal figures", way.name));
        circuits.push_back(std::move(circuit));
    }
    return circuits;
}

/// One line for each end of a list of points beyond which its slope lifts a way within the computed band.
void warn_of_rises(const Way& way, double f_from, double f_to, std::vector<std::string>& warnings)
{
    for (const CrossoverRise& rise : crossover_rises(way, f_from, f_to))
        warnings.push_back(
            fmt::format("crossover of '{}': its slope, going on {} {:.6g} Hz, lifts the way by {:.0f} dB "
                        "at {:.6g} Hz; where the level shall stay write it at two frequencies, or give "
                        "the filter by its name",
                        way.name, rise.edge_Hz < rise.end_Hz ? "below" : "above", rise.end_Hz, std::max(rise.dB, 1.0),
                        rise.edge_Hz));
}

} // namespace

std::vector<SourceModel> sources_of(const Cabinet& cabinet)
{
    const Air air = air_at(cabinet.temperature);
    std::vector<SourceModel> sources;
    for (std::size_t b = 0; b < cabinet.boards.size(); ++b) {
        const Board& board = cabinet.boards[b];
        if (board.kind != Board::Kind::Wall) continue;
        for (std::size_t o = 0; o < board.openings.size(); ++o) {
            const Opening& opening = board.openings[o];
            const InsertPlan& insert = opening.insert;
            using Kind = InsertPlan::Kind;
            const bool is_hole = insert.kind == Kind::None, is_port = is_hole || insert.kind == Kind::Port;
            if (!is_port && !insert.small_signal) continue;
            SourceModel model;
            const auto kind = is_hole                        ? Source::Kind::Hole
                              : is_port                      ? Source::Kind::Port
                              : insert.kind == Kind::Passive ? Source::Kind::Passive
                                                             : Source::Kind::Cone;
            model.source = {kind, opening.name, static_cast<int>(b), static_cast<int>(o)};
            if (is_port) {
                model.port = port_of(board, opening);
                model.area = model.port->area();
            } else {
                model.cone = insert.small_signal;
                model.area = insert.small_signal->Sd;
                model.inner_area = insert.closed_back ? 0 : model.area;
                model.moving_mass = mass_in_vacuo(*insert.small_signal, insert.closed_back, air);
            }
            sources.push_back(std::move(model));
        }
    }
    return sources;
}

std::vector<OpeningId> openings_of(const std::vector<SourceModel>& sources)
{
    std::vector<OpeningId> openings;
    for (const SourceModel& m : sources) openings.push_back({m.source.board, m.source.opening});
    return openings;
}

Built build_player(const Parts& parts, const RigidWallAir& rigid, const Points& points, double f_from, double f_to,
                   SoundResult& result, const std::function<void(const std::string&, double)>& progress)
{
    const auto& [cabinet, setting, meshes, walls] = parts;
    const Structure& structure = walls.structure;
    auto start = std::chrono::steady_clock::now();
    progress("air inside", 0.35);
    Coupled coupled;
    coupled.sources = sources_of(cabinet);
    const RowMatrix C = air_coupling(cabinet, meshes.shell, structure, meshes.air);
    coupled.air = air_basis(meshes.air, setting.fillings, rigid);
    std::vector<std::string> air_names = air_mode_names(
        meshes.air, coupled.air.Psi.leftCols(coupled.air.mode_Hz.size()), chamber_names(cabinet, meshes.air));
    result.seconds_air += seconds_since(start);

    progress("walls and air together", 0.45);
    coupled.walls = wall_basis(walls, wall_loads(structure, coupled.sources, C, coupled.air.Psi));
    const MatrixXd pushed = C * coupled.walls.V;
    coupled.C = coupled.air.Psi.transpose() * pushed;
    coupled.carried = carried_mass(rigid, pushed);
    for (SourceModel& m : coupled.sources) {
        const RimTap* tap = tap_of(structure, m.source);
        m.frame = tap ? tap_motion(*tap, coupled.walls.V) : Eigen::RowVectorXd::Zero(coupled.walls.size());
        if (tap && tap->stretch.size() > 0) m.stretch = tap_stretch(*tap, coupled.walls.V);
    }
    coupled.circuits = circuits_of(setting, coupled.sources);
    const Air& air = coupled.air.air;
    coupled.face_admittance = admittance_of(setting.wall_absorption) / (air.density * air.sound_speed);
    if (setting.leakage_Q) coupled.face_admittance += leak_admittance(coupled, *setting.leakage_Q);

    start = std::chrono::steady_clock::now();
    RadiationSetting radiation;
    radiation.air = air;
    if (setting.plane) radiation.plane = RigidPlane{setting.plane->point, setting.plane->normal};
    const auto levels = radiating_levels(cabinet, meshes, structure, coupled.walls.V, coupled.sources, setting.plane);
    ModalBand band;
    band.f_low = f_from;
    band.f_high = f_to;
    band.progress = [&](double fraction) { progress("sound outside", 0.5 + 0.3 * fraction); };
    const ShapeColumns columns = shape_columns(cabinet, coupled.walls.size(), coupled.sources.size());
    band.n_loaded = columns.n_loaded();
    Built built{{std::move(coupled), ModalRadiation(levels, radiation, points, band), columns, {}},
                std::move(air_names)};
    for (const Way& way : setting.ways) {
        built.player.crossovers.push_back(way);
        warn_of_rises(way, f_from, f_to, result.warnings);
    }
    result.seconds_radiation = seconds_since(start);
    result.n_panels = static_cast<int>(levels.back().surface.size());
    return built;
}

} // namespace stillwall::solver::internal
