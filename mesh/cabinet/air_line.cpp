#include "mesh/cabinet/air_line.h"

#include "mesh/cabinet/build_hull.h"
#include "mesh/cabinet/opening.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <queue>

namespace stillwall {
namespace {

constexpr double far_away = std::numeric_limits<double>::infinity();
constexpr int n_slices = 24;

bool is_wood(const Board& plate, const Vector2d& p)
{
    return contains(plate.outline, p) && !is_in_window(plate, p);
}

} // namespace

AirLine::AirLine(const Cabinet& cabinet, const Chambers& chambers, int chamber)
{
    for (const Board& board : cabinet.boards)
        if (board.kind == Board::Kind::Brace) plates_.push_back(&board);
    lay_grid(chambers, chamber);
    if (points_.empty()) return;
    join_neighbours();
    const auto farthest = [](const std::vector<double>& d) {
        std::size_t best = 0;
        for (std::size_t i = 0; i < d.size(); ++i)
            if (d[i] < far_away && (!(d[best] < far_away) || d[i] > d[best])) best = i;
        return best;
    };
    const std::size_t one_end = farthest(distances(0));
    const std::vector<double> from_one = distances(one_end);
    const std::vector<double> from_other = distances(farthest(from_one));
    std::vector<double> coordinate;
    for (std::size_t i = 0; i < points_.size(); ++i) coordinate.push_back((from_one[i] - from_other[i]) / 2);
    measure(coordinate);
    section_ = chambers.all()[static_cast<std::size_t>(chamber)].lines.front().volume / length_;
}

void AirLine::lay_grid(const Chambers& chambers, int chamber)
{
    const Chamber& own = chambers.all()[static_cast<std::size_t>(chamber)];
    constexpr double n_points = 12000;
    step_ = std::cbrt(own.lines.front().volume / n_points);
    const Vector3d &low = own.low, &high = own.high;
    origin_ = low + Vector3d::Constant(step_ / 2);
    Vector3d least = Vector3d::Constant(far_away), most = -least;
    const Place n = place_of(high);
    for (int i = 0; i <= n[0]; ++i)
        for (int j = 0; j <= n[1]; ++j)
            for (int k = 0; k <= n[2]; ++k) {
                const Vector3d p = point_of({i, j, k});
                if (chambers.at(p) != chamber) continue;
                const auto stands_in = [&](const Board* plate) {
                    return std::abs(plate->frame.height_of(p)) < plate->thickness() / 2 &&
                           is_wood(*plate, plate->frame.to_board(p));
                };
                if (std::any_of(plates_.begin(), plates_.end(), stands_in)) continue;
                index_[{i, j, k}] = points_.size();
                points_.push_back(p);
                least = least.cwiseMin(p);
                most = most.cwiseMax(p);
            }
    if (!points_.empty()) straight_ = (most - least).maxCoeff() + step_;
}

AirLine::Place AirLine::place_of(const Vector3d& p) const
{
    const Vector3d steps = ((p - origin_) / step_).array().round();
    return {static_cast<int>(steps.x()), static_cast<int>(steps.y()), static_cast<int>(steps.z())};
}

Vector3d AirLine::point_of(const Place& place) const
{
    return origin_ + step_ * Vector3d(place[0], place[1], place[2]);
}

bool AirLine::is_free(const Vector3d& a, const Vector3d& b) const
{
    return std::none_of(plates_.begin(), plates_.end(), [&](const Board* plate) {
        const double ha = plate->frame.height_of(a), hb = plate->frame.height_of(b);
        if (ha * hb > 0) return false;
        const double share = ha == hb ? 0.5 : ha / (ha - hb);
        return is_wood(*plate, plate->frame.to_board(a + share * (b - a)));
    });
}

void AirLine::join_neighbours()
{
    near_.resize(points_.size());
    for (const auto& [place, i] : index_)
        for (int step = 14; step < 27; ++step) { // the later half of the 26 around it, each pair once
            const Place other{place[0] + step / 9 - 1, place[1] + step / 3 % 3 - 1, place[2] + step % 3 - 1};
            const auto found = index_.find(other);
            if (found == index_.end() || !is_free(points_[i], points_[found->second])) continue;
            const double distance = (points_[i] - points_[found->second]).norm();
            near_[i].emplace_back(found->second, distance);
            near_[found->second].emplace_back(i, distance);
        }
}

std::vector<double> AirLine::distances(std::size_t from) const
{
    std::vector<double> distance(points_.size(), far_away);
    using Entry = std::pair<double, std::size_t>;
    std::priority_queue<Entry, std::vector<Entry>, std::greater<>> next;
    distance[from] = 0;
    next.emplace(0.0, from);
    while (!next.empty()) {
        const auto [d, i] = next.top();
        next.pop();
        if (d > distance[i]) continue;
        for (const auto& [other, step] : near_[i])
            if (d + step < distance[other]) next.emplace(distance[other] = d + step, other);
    }
    return distance;
}

void AirLine::measure(const std::vector<double>& coordinate)
{
    const auto is_reached = [](double c) { return std::isfinite(c); };
    double low = far_away, high = -far_away;
    for (const double c : coordinate)
        if (is_reached(c)) low = std::min(low, c), high = std::max(high, c);
    if (!(high > low)) return;
    const auto slice_of = [&](double c) {
        return std::min(n_slices - 1, static_cast<int>((c - low) / (high - low) * n_slices));
    };
    std::vector<Vector3d> middle(n_slices, Vector3d::Zero());
    std::vector<double> count(n_slices, 0);
    for (std::size_t i = 0; i < points_.size(); ++i)
        if (is_reached(coordinate[i])) {
            const auto s = static_cast<std::size_t>(slice_of(coordinate[i]));
            middle[s] += points_[i];
            count[s] += 1;
        }
    if (*std::min_element(count.begin(), count.end()) < 1) return;
    std::vector<double> along(n_slices, 0); // from the first slice's middle
    for (std::size_t s = 0; s < n_slices; ++s) {
        middle[s] /= count[s];
        if (s > 0) along[s] = along[s - 1] + (middle[s] - middle[s - 1]).norm();
    }
    length_ = along.back() * n_slices / (n_slices - 1); // half a slice beyond the last middles
    // The first and the last slice end in corners of the room.
    const double mean = std::accumulate(count.begin(), count.end(), 0.0) / n_slices;
    narrowest_ = *std::min_element(count.begin() + 1, count.end() - 1) / mean;
    const double first = (length_ - along.back()) / 2;
    for (const double c : coordinate) {
        if (!is_reached(c)) {
            share_.push_back(far_away);
            continue;
        }
        const double place = (c - low) / (high - low) * n_slices - 0.5;
        const int s = std::clamp(static_cast<int>(std::floor(place)), 0, n_slices - 2);
        const auto at = static_cast<std::size_t>(s);
        share_.push_back((first + along[at] + (place - s) * (along[at + 1] - along[at])) / length_);
    }
}

std::optional<double> AirLine::at(const Vector3d& p) const
{
    const Place here = place_of(p);
    std::optional<double> share;
    double nearest = far_away;
    for (int step = 0; step < 27; ++step) {
        const auto found = index_.find({here[0] + step / 9 - 1, here[1] + step / 3 % 3 - 1, here[2] + step % 3 - 1});
        if (found == index_.end() || share_.empty() || !std::isfinite(share_[found->second])) continue;
        const double distance = (points_[found->second] - p).norm();
        if (distance >= nearest || !is_free(points_[found->second], p)) continue;
        nearest = distance;
        share = std::clamp(share_[found->second], 0.0, 1.0);
    }
    return share;
}

bool AirLine::is_line() const
{
    constexpr double slender = 6, folded = 1.4, open = 0.3;
    return length_ > slender * std::sqrt(section_) && length_ > folded * straight_ && narrowest_ > open;
}

std::map<int, AirLine> air_lines(const Cabinet& cabinet, const Chambers& chambers)
{
    std::map<int, AirLine> lines;
    const bool has_plates = std::any_of(cabinet.boards.begin(), cabinet.boards.end(),
                                        [](const Board& board) { return board.kind == Board::Kind::Brace; });
    if (!has_plates) return lines;
    for (int i = 0; i < static_cast<int>(chambers.all().size()); ++i) {
        AirLine line(cabinet, chambers, i);
        if (line.is_line()) lines.emplace(i, std::move(line));
    }
    return lines;
}

} // namespace stillwall
