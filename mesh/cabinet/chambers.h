#pragma once
// The parts of the inside that boards shut off from each other, found from the drawing alone.

#include "mesh/cabinet/cabinet.h"
#include "mesh/cabinet/volume_lines.h"

#include <memory>

namespace stillwall {

/// A part of the inside that no opening joins to the rest.
struct Chamber
{
    /// What opens into it: "chamber of midrange", "chamber of woofer 1 and woofer 2"; closed-back drivers only where
    /// nothing else does. Without openings by its place: "chamber at the top".
    std::string name;
    /// Net volume line by line: the room between its boards, then what stands in it. A layer counts by the share of
    /// its face that lies in the chamber.
    std::vector<VolumeLine> lines;
    double volume = 0; ///< [m³] net, the sum of the lines
    struct Hole
    {
        int board = 0, opening = 0; ///< indices
    };
    std::vector<Hole> openings;                               ///< of walls; of plates those that an insert closes
    Vector3d middle = Vector3d::Zero();                       ///< [m] centre of its room
    Vector3d low = Vector3d::Zero(), high = Vector3d::Zero(); ///< [m] corners of the upright box round its cells
};

/// The inside cut into cells by the planes of walls and plates; neighbours between which a window, a notch or a free
/// edge leaves more than 1 mm² belong together. Exact in volume for plane boards with windows square to them; their
/// chambers add up to Bookkeeping::net_volume_m3. Curved walls are taken by their facets.
class Chambers
{
public:
    /// @param cabinet  is looked at again by at() and behind(): must outlive this
    explicit Chambers(const Cabinet& cabinet);
    ~Chambers();
    Chambers(Chambers&&) noexcept;

    [[nodiscard]] const std::vector<Chamber>& all() const;
    /// The chamber in whose air a point lies; nothing in wood or outside. Fittings are air.
    [[nodiscard]] std::optional<int> at(const Vector3d& p) const;
    /// The chamber into which an opening leads: of a wall inside, of a plate on its −n side.
    [[nodiscard]] std::optional<int> behind(int board, int opening) const;

private:
    struct Inside;
    std::shared_ptr<const FacetedCabinet> facets_; ///< of curved walls
    std::unique_ptr<const Inside> inside_;
};

} // namespace stillwall
