#pragma once
// A chamber as a line: long, narrow, and folded about plates.

#include "mesh/cabinet/chambers.h"

#include <array>
#include <map>

namespace stillwall {

/// The way through a chamber's air from one end to the other, on a grid of points some 1/25 of the chamber's size
/// apart. The coordinate along it is half the difference of the shortest ways to both ends; its length that of the
/// polygon through the middles of 24 slices of equal coordinate, so that it runs in the middle of the section and
/// round corners.
class AirLine
{
public:
    /// @param chamber  index into Chambers::all()
    AirLine(const Cabinet& cabinet, const Chambers& chambers, int chamber);

    [[nodiscard]] double length() const { return length_; }     ///< [m] along the middle
    [[nodiscard]] double section() const { return section_; }   ///< [m²] volume between boards over length
    [[nodiscard]] double straight() const { return straight_; } ///< [m] longest side of the room it is folded into
    /// Share of the length, 0 … 1, at which a point of its air lies; nothing where no grid point is near.
    [[nodiscard]] std::optional<double> at(const Vector3d& p) const;
    /// Whether it is what builders call a line: at least 6 times as long as the root of its section, folded (1.4 times
    /// as long as the room), and nowhere narrower than 0.3 of its mean section. Own limits, no source.
    [[nodiscard]] bool is_line() const;

private:
    using Place = std::array<int, 3>;
    [[nodiscard]] Place place_of(const Vector3d& p) const;
    [[nodiscard]] Vector3d point_of(const Place& place) const;
    [[nodiscard]] std::vector<double> distances(std::size_t from) const;
    [[nodiscard]] bool is_free(const Vector3d& a, const Vector3d& b) const;
    void lay_grid(const Chambers& chambers, int chamber);
    void join_neighbours();
    void measure(const std::vector<double>& coordinate);

    std::vector<const Board*> plates_;
    Vector3d origin_ = Vector3d::Zero();
    double step_ = 0;
    std::map<Place, std::size_t> index_;
    std::vector<Vector3d> points_;
    std::vector<std::vector<std::pair<std::size_t, double>>> near_; ///< per point: neighbours and their distance
    std::vector<double> share_;                                     ///< of the length, per point
    double length_ = 0, section_ = 0, straight_ = 0, narrowest_ = 0;
};

/// The chambers that are lines, by their index.
[[nodiscard]] std::map<int, AirLine> air_lines(const Cabinet& cabinet, const Chambers& chambers);

} // namespace stillwall
