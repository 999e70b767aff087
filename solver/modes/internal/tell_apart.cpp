// Names that meet twice in a cabinet, and what sets their modes apart.

#include "solver/modes/shape_name.h"

#include <Eigen/Geometry>
#include <Eigen/LU>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <set>

namespace stillwall::solver {
namespace {

using Eigen::Index;

constexpr double noticed = 0.05; ///< of the energy: what a board must hold more or less of to tell two modes apart

double share_of(const Mode& mode, std::size_t board)
{
    return energy_share(mode.boards[board]);
}

/// How a cabinet moves that moves as one: the largest of its translations and turns about its middle, by Σ u².
std::string rigid_motion(const Eigen::Matrix3Xd& at, const Eigen::Matrix3Xd& u)
{
    const Vector3d middle = at.rowwise().mean(), t = u.rowwise().mean();
    Eigen::Matrix3d inertia = Eigen::Matrix3d::Zero();
    Vector3d turn = Vector3d::Zero();
    for (Index n = 0; n < at.cols(); ++n) {
        const Vector3d r = at.col(n) - middle;
        inertia += r.squaredNorm() * Eigen::Matrix3d::Identity() - r * r.transpose();
        turn += r.cross(u.col(n));
    }
    const Vector3d omega = inertia.inverse() * turn;
    constexpr std::array words{"from side to side", "to and fro", "up and down", "nodding", "rolling", "turning"};
    std::array<double, 6> energy{};
    for (Index i = 0; i < 3; ++i) {
        energy[static_cast<std::size_t>(i)] = static_cast<double>(at.cols()) * t[i] * t[i];
        energy[static_cast<std::size_t>(3 + i)] = inertia(i, i) * omega[i] * omega[i];
    }
    return words[static_cast<std::size_t>(std::max_element(energy.begin(), energy.end()) - energy.begin())];
}

/// [kg^-1/2] of a driver along its axis.
double along_axis(const Mode& mode, const std::string& driver)
{
    double phi = 0;
    for (const DriveCoupling& drive : mode.drives)
        if (drive.driver == driver) phi = std::max(phi, std::abs(drive.phi));
    return phi;
}

/// What a mode of a body that moves as one does, among those of the same name; nothing for modes of boards.
std::string body_motion(const std::vector<Mode>& modes, const std::vector<std::size_t>& group, std::size_t m,
                        const Eigen::Matrix3Xd& at, const Eigen::MatrixXd& shapes)
{
    const Mode& mode = modes[m];
    if (mode.moves_whole)
        return ", " + rigid_motion(at, Eigen::Map<const Eigen::Matrix3Xd>(shapes.col(static_cast<Index>(m)).data(), 3,
                                                                          at.cols()));
    const std::string& driver = mode.on_mount.empty() ? mode.on_basket : mode.on_mount;
    if (driver.empty()) return {};
    constexpr double rocks = 1 / 3.0; // of the axial mode's motion along the axis
    double most = 0;
    for (const std::size_t other : group) most = std::max(most, along_axis(modes[other], driver));
    return along_axis(mode, driver) < rocks * most ? ", rocking" : ", along its axis";
}

std::string turn_word(std::size_t turn)
{
    constexpr std::array words{"second", "third", "fourth", "fifth"};
    return turn - 2 < words.size() ? words[turn - 2] : fmt::format("no. {}", turn);
}

} // namespace

std::vector<std::string> ShapeNames::what_differs(const std::vector<Mode>& modes, const std::vector<std::size_t>& lower,
                                                  std::size_t m, const Eigen::MatrixXd& shapes) const
{
    const Mode& mode = modes[m];
    const std::vector<int> named = leading_boards(mode);
    const auto motion = [&](std::size_t of, int board) {
        const Eigen::Map<const Eigen::Matrix3Xd> u(shapes.col(static_cast<Index>(of)).data(), 3, mesh_.n_nodes());
        return motion_of(board, modes[of].f_Hz, u).mean;
    };
    std::vector<std::pair<double, std::string>> more, less, signs;
    for (std::size_t b = 0; b < mode.boards.size(); ++b) {
        const int board = static_cast<int>(b);
        const bool bears_the_name = mode.on_basket.empty() && mode.on_mount.empty() && !mode.moves_whole;
        if (bears_the_name && std::find(named.begin(), named.end(), board) != named.end()) continue;
        const std::string& name = cabinet_.board(board).name;
        double most = 0, least = 1;
        for (const std::size_t other : lower) {
            most = std::max(most, share_of(modes[other], b));
            least = std::min(least, share_of(modes[other], b));
        }
        const double share = share_of(mode, b);
        if (share - most > noticed) more.emplace_back(share - most, " with " + name);
        if (least - share > noticed) less.emplace_back(least - share, " with less of " + name);
        if (std::min(share, least) < noticed || cabinet_.board(board).kind != Board::Kind::Wall || named.empty())
            continue;
        // Walls that breathe, outward positive: to one side of zero in this mode, to the other in all lower ones.
        const auto together = [&](std::size_t of) {
            const double here = motion(of, named.front()), there = motion(of, board);
            return std::min(std::abs(here), std::abs(there)) > moves_as_one ? here * there : 0;
        };
        const double sign = together(m);
        if (sign != 0 &&
            std::all_of(lower.begin(), lower.end(), [&](std::size_t other) { return together(other) * sign < 0; }))
            signs.emplace_back(share, (sign > 0 ? " in step with " : " against ") + name);
    }
    std::vector<std::string> words;
    for (auto* list : {&more, &signs, &less}) {
        std::stable_sort(list->begin(), list->end(), [](const auto& a, const auto& b) { return a.first > b.first; });
        for (auto& [unused, word] : *list) words.push_back(std::move(word));
    }
    return words;
}

void ShapeNames::tell_apart(std::vector<Mode>& modes, const Eigen::MatrixXd& shapes) const
{
    std::map<std::string, std::vector<std::size_t>> alike;
    for (std::size_t m = 0; m < modes.size(); ++m) alike[modes[m].shape_name].push_back(m);
    for (const auto& [unused, group] : alike)
        if (group.size() > 1)
            for (const std::size_t m : group) modes[m].shape_name += body_motion(modes, group, m, mesh_.nodes, shapes);

    std::map<std::string, std::vector<std::size_t>> met;
    std::set<std::string> taken;
    for (std::size_t m = 0; m < modes.size(); ++m) {
        const std::string plain = modes[m].shape_name;
        std::vector<std::size_t>& lower = met[plain];
        std::string& name = modes[m].shape_name;
        if (!lower.empty())
            for (const std::string& word : what_differs(modes, lower, m, shapes))
                if (taken.count(plain + word) == 0) {
                    name = plain + word;
                    break;
                }
        for (std::size_t turn = 2; taken.count(name) > 0; ++turn) name = plain + ", " + turn_word(turn);
        taken.insert(name);
        lower.push_back(m);
    }
}

} // namespace stillwall::solver
