#include "tests/mesh/build_fixture.h"

#include "mesh/cabinet/polygon.h"

using namespace build_fixture;

// The box: 240 × 380 × 300 mm outside, 18 mm boards, so 204 × 344 × 264 mm inside.

namespace {

LayerPlan layer_on(const char* board, double t_mm = 2)
{
    LayerPlan layer;
    layer.name = "pad";
    layer.board = board;
    layer.layup = board_of(t_mm);
    layer.where = at_line(60);
    return layer;
}

LayerPlan rectangle_on(const char* board, double x1_mm, double z1_mm, double x2_mm, double z2_mm)
{
    LayerPlan layer = layer_on(board);
    layer.x1 = x1_mm * mm;
    layer.z1 = z1_mm * mm;
    layer.x2 = x2_mm * mm;
    layer.z2 = z2_mm * mm;
    return layer;
}

Cabinet with_layer(const LayerPlan& layer, CabinetPlan plan = box_plan())
{
    plan.layers = {layer};
    return build_cabinet(plan);
}

std::string refusal(const std::vector<LayerPlan>& layers, CabinetPlan plan = box_plan())
{
    plan.layers = layers;
    try {
        static_cast<void>(build_cabinet(plan));
    } catch (const InputError& error) {
        return error.what();
    }
    return "accepted";
}

bool says(const std::string& message, const std::string& part)
{
    return message.find(part) != std::string::npos;
}

} // namespace

TEST_CASE("layers fill the clear face they lie on", "[mesh][build][layer]")
{
    struct Face
    {
        const char* board;
        bool inside;
        double area_mm2;
    };
    CabinetPlan plan = box_plan();
    plan.braces = {brace("shelf", BracePlan::Plane::Horizontal, 205)};
    // Reference: by hand; inside between the neighbours' inner faces, outside as sawn (front and back cover the sides,
    // the sides cover top and bottom). Tolerance: round-off.
    for (const Face& face :
         {Face{"back", true, 204.0 * 344}, Face{"left", true, 264.0 * 344}, Face{"bottom", true, 204.0 * 264},
          Face{"front", false, 240.0 * 380}, Face{"left", false, 264.0 * 380}, Face{"top", false, 204.0 * 264},
          Face{"shelf", true, 204.0 * 264}, Face{"shelf", false, 204.0 * 264}}) {
        CAPTURE(face.board, face.inside);
        LayerPlan item = layer_on(face.board);
        item.inside = face.inside;
        const Cabinet cabinet = with_layer(item, plan);
        REQUIRE(cabinet.layers.size() == 1);
        const FaceLayer& layer = cabinet.layers[0];
        CHECK(layer.board == cabinet.board_index(face.board));
        CHECK(layer.side == (face.inside ? -1 : 1));
        CHECK_THAT(layer.area, WithinRel(face.area_mm2 * mm * mm, 1e-12));
        CHECK_THAT(area(layer.region), WithinRel(layer.area, 1e-12)); // anticlockwise: positive
    }
}

TEST_CASE("a share lies in the middle in the face's own proportions", "[mesh][build][layer]")
{
    LayerPlan item = layer_on("back");
    item.cover = 0.36;
    const Cabinet cabinet = with_layer(item);
    // Reference: sides times √0.36 = 0.6: 122.4 × 206.4 mm about the middle (120, 190). Tolerance: round-off.
    const Bounds2 region = bounds(cabinet.layers[0].region);
    CHECK_THAT(region.size().x(), WithinAbs(122.4 * mm, round_off));
    CHECK_THAT(region.size().y(), WithinAbs(206.4 * mm, round_off));
    CHECK_THAT(region.middle().x(), WithinAbs(120 * mm, round_off));
    CHECK_THAT(region.middle().y(), WithinAbs(190 * mm, round_off));
    CHECK_THAT(cabinet.layers[0].area, WithinRel(0.36 * 0.204 * 0.344, 1e-12));
}

TEST_CASE("a rectangle is cut to the clear face", "[mesh][build][layer]")
{
    const Cabinet cabinet = with_layer(rectangle_on("back", 100, 0, 0, 100));
    // Reference: x and z from 18 to 100 mm remain; the back's own axis runs against x from 240 mm. Tolerance:
    // round-off.
    const Bounds2 region = bounds(cabinet.layers[0].region);
    CHECK_THAT(region.low.x(), WithinAbs(140 * mm, round_off));
    CHECK_THAT(region.high.x(), WithinAbs(222 * mm, round_off));
    CHECK_THAT(region.low.y(), WithinAbs(18 * mm, round_off));
    CHECK_THAT(region.high.y(), WithinAbs(100 * mm, round_off));
    CHECK_THAT(cabinet.layers[0].area, WithinRel(82e-3 * 82e-3, 1e-12));
}

TEST_CASE("openings are taken out of a layer's area", "[mesh][build][layer]")
{
    CabinetPlan plan = box_plan();
    plan.openings = {hole_xz("woofer", "front", 150, 120, 130)};
    const double disc = std::numbers::pi / 4 * 0.15 * 0.15;
    // Reference: by hand. Tolerance: round-off for the whole hole; 1e-6 for half of it, cut out of 256 chords.
    CHECK_THAT(with_layer(layer_on("front"), plan).layers[0].area, WithinRel(0.204 * 0.344 - disc, 1e-12));
    CHECK_THAT(with_layer(rectangle_on("front", 18, 18, 120, 362), plan).layers[0].area,
               WithinRel(0.102 * 0.344 - disc / 2, 1e-6));
    CHECK_THAT(with_layer(rectangle_on("front", 18, 250, 222, 362), plan).layers[0].area,
               WithinRel(0.204 * 0.112, 1e-12));
}

TEST_CASE("plies of a layer turn with the board's grain", "[mesh][build][layer]")
{
    CabinetPlan plan = box_plan();
    plan.walls[2].grain_rule = GrainRule::Angle;
    plan.walls[2].grain = 0.5;
    LayerPlan item = layer_on("back");
    item.layup.plies = {{0, 1 * mm, 0}, {0, 2 * mm, 0.25}};
    const Cabinet cabinet = with_layer(item, plan);
    CHECK(cabinet.layers[0].layup.plies[0].angle == 0.5);
    CHECK(cabinet.layers[0].layup.plies[1].angle == 0.75);
}

TEST_CASE("a leaning front and a taper keep their layers on the wood", "[mesh][build][layer]")
{
    CabinetPlan plan = box_plan();
    plan.outline[2].x() -= 0.03;
    plan.outline[3].x() += 0.03;
    plan.baffle_slope = 0.1;
    for (const char* name : {"front", "right", "back", "left", "top", "bottom"}) {
        CAPTURE(name);
        LayerPlan item = layer_on(name);
        item.cover = 0.5;
        const Cabinet half = with_layer(item, plan);
        item.cover = 1;
        const Cabinet full = with_layer(item, plan);
        // Reference: the definition of a share. Tolerance: round-off.
        CHECK_THAT(half.layers[0].area, WithinRel(0.5 * full.layers[0].area, 1e-12));
        const Board& wall = board(full, name);
        CHECK(full.layers[0].area < area(wall.sawn));
        for (const Vector2d& corner : half.layers[0].region) CHECK(contains(wall.sawn, corner));
    }
}

TEST_CASE("layers weigh, and those inside take room", "[mesh][build][layer]")
{
    CabinetPlan plan = box_plan();
    plan.materials.push_back(material_of(1700));
    plan.materials.push_back(material_of(2700));
    const Bookkeeping bare = bookkeeping(build_cabinet(plan));
    LayerPlan item = layer_on("back");
    item.layup.plies = {{1, 2 * mm, 0}, {2, 0.1 * mm, 0}};
    item.layup.label = "sheet";
    plan.layers = {item};
    const Bookkeeping inside = bookkeeping(build_cabinet(plan));
    // Reference: 204 × 344 mm, 2 mm of 1700 kg/m³ and 0.1 mm of 2700 kg/m³. Tolerance: round-off.
    const double face = 0.204 * 0.344, mass = face * (2e-3 * 1700 + 1e-4 * 2700);
    CHECK_THAT(part_mass(inside, "pad"), WithinRel(mass, 1e-12));
    CHECK_THAT(inside.layer_mass, WithinRel(mass, 1e-12));
    CHECK_THAT(inside.mass, WithinRel(bare.mass + mass, 1e-12));
    CHECK_THAT(inside.board_mass, WithinRel(bare.board_mass, 1e-15));
    CHECK_THAT(inside.net_volume_m3, WithinRel(bare.net_volume_m3 - face * 2.1e-3, 1e-12));
    const PartLine& line = inside.parts.back();
    CHECK(line.material == "sheet");
    CHECK_THAT(line.length, WithinRel(0.344, 1e-12));
    CHECK_THAT(line.width, WithinRel(0.204, 1e-12));
    CHECK_THAT(line.thickness, WithinRel(2.1e-3, 1e-12));
    plan.layers[0].inside = false;
    CHECK(bookkeeping(build_cabinet(plan)).net_volume_m3 == bare.net_volume_m3);
}

TEST_CASE("layers that cannot be", "[mesh][build][layer][errors]")
{
    LayerPlan item = layer_on("back", 19);
    CHECK(says(refusal({item}), "box.yaml:60:3: damping.pad: is 19 mm thick, more than 'back' (18 mm)"));
    item = layer_on("bakc");
    CHECK(says(refusal({item}), "damping.pad.board: there is no board 'bakc'; did you mean 'back'?"));
    item = layer_on("back", 0);
    CHECK(says(refusal({item}), "thicker than 0 mm"));
    item = layer_on("back");
    for (const double cover : {0.0, -0.5, 1.2, std::nan("")}) {
        item.cover = cover;
        CHECK(says(refusal({item}), "damping.pad.cover: must lie above 0 % and be 100 % at most"));
    }
    CHECK(says(refusal({rectangle_on("back", 0, 0, 17, 300)}), "covers nothing of the inner face of 'back'"));
    CHECK(says(refusal({rectangle_on("back", 20, 20, 20.5, 300)}), "narrower than 1 mm"));
    CHECK(says(refusal({rectangle_on("back", 20, 20, 100, 400)}), "damping.pad.to: lies 20 mm off 'back'"));
    LayerPlan first = rectangle_on("back", 20, 20, 100, 100), second = rectangle_on("back", 99, 20, 150, 100);
    second.name = "other";
    second.where = at_line(61);
    CHECK(says(refusal({first, second}),
               "box.yaml:61:3: damping.other: overlaps 'pad' (line 60) on the same face of 'back'"));
    second.inside = false;
    CHECK(refusal({first, second}) == "accepted");
    second = first; // the same place
    second.name = "other";
    CHECK(says(refusal({first, second}), "overlaps 'pad'"));
    second = rectangle_on("back", 50, 50, 60, 60); // within
    second.name = "other";
    CHECK(says(refusal({first, second}), "overlaps 'pad'"));
    second = rectangle_on("back", 100, 20, 150, 100); // side by side
    second.name = "other";
    CHECK(refusal({first, second}) == "accepted");
    second.name = "pad";
    CHECK(says(refusal({first, second}), "this name is taken"));
}

TEST_CASE("a face that turns inwards takes the whole of a layer but no share outside itself", "[mesh][build][layer]")
{
    CabinetPlan plan = l_plan();
    plan.outline = {{0, 0}, {0.4, 0}, {0.4, 0.1}, {0.1, 0.1}, {0.1, 0.4}, {0, 0.4}};
    LayerPlan item = layer_on("top");
    // Reference: inner L of 364 mm with arms of 64 mm. Tolerance: round-off.
    CHECK_THAT(with_layer(item, plan).layers[0].area, WithinRel(0.364 * 0.064 + 0.3 * 0.064, 1e-12));
    item.cover = 0.5;
    CHECK(says(refusal({item}, plan), "turns inwards"));
    item.cover = 1;
    item.x1 = 0.05, item.y1 = 0.05, item.x2 = 0.3, item.y2 = 0.3; // holds the inner corner: one L-shaped piece
    // Reference: 250 × 250 mm less what lies beyond the arms (218 × 218 mm). Tolerance: round-off.
    CHECK_THAT(with_layer(item, plan).layers[0].area, WithinRel(0.25 * 0.25 - 0.218 * 0.218, 1e-12));
}
