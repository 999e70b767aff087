// What a computation will take: against what the meshers make, and what is said and refused.

#include "app/input/cabinet_file.h"
#include "app/workers/forecast.h"
#include "app/workers/sound_meshes.h"
#include "mesh/cabinet/build.h"
#include "mesh/gmsh/air_mesher.h"
#include "mesh/gmsh/mesher.h"
#include "mesh/gmsh/outer_mesher.h"
#include "solver/modes/analysis.h"
#include "tests/app/test_library.h"

#include <catch2/catch.hpp>

#include <sstream>

using namespace stillwall;
using namespace stillwall::app;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;

namespace {

Cabinet example(const std::string& file)
{
    return build_cabinet(read_cabinet("examples/" + file, library()));
}

Cabinet cube(double side)
{
    return build_cabinet(parse_cabinet(
        "name: cube\ncabinet: {shape: box, width: " + std::to_string(side) + " m, height: " + std::to_string(side) +
            " m, depth: " + std::to_string(side) + " m}\nboards: {all: {material: mdf, thickness: 38}}\n",
        "cube.yaml", library()));
}

/// What announce() says of a run that takes 1 GB and a minute to 100 Hz, and grows with the square of frequency.
struct Said
{
    std::string line, refusal;
};

Said said(double f_high, double available, Accuracy accuracy = Accuracy::Normal, bool has_accuracy = true)
{
    std::ostringstream out, err;
    const auto effort = [](double f, Accuracy wanted) {
        const double n = f * f / 1e4 * (wanted == Accuracy::Draft ? 0.5 : 1);
        return Effort{.shell_unknowns = 1000 * n, .seconds = 60 * n, .bytes = 1e9 * n};
    };
    Said all;
    try {
        announce({.effort = effort, .f_high = f_high, .accuracy = accuracy, .has_accuracy = has_accuracy}, available,
                 {out, err, false});
    } catch (const Error& error) {
        all.refusal = error.what();
    }
    all.line = err.str();
    CHECK(out.str().empty());
    return all;
}

} // namespace

TEST_CASE("unknowns are foreseen within a factor of 1.6", "[app][forecast]")
{
    // Reference: what the meshers make. Tolerance: a forecast; it decides between seconds and hours.
    const auto is_near = [](double foreseen, double made) { return foreseen < 1.6 * made && made < 1.6 * foreseen; };
    for (const char* file : {"01-small-two-way/cabinet.yaml", "07-vented-two-way/vented.yaml"})
        for (const double f : {800.0, 2000.0}) {
            const Cabinet cabinet = example(file);
            const Effort modes = effort_of_modes(cabinet, f, Accuracy::Draft);
            const Effort sound = effort_of_sound(cabinet, f, Accuracy::Draft);
            const double size = solver::element_size_for(cabinet, f, points_per_wave(Accuracy::Draft));
            const double shell = 6.0 * mesh::mesh_shell(cabinet, {.element_size = size}).n_nodes();
            Progress silent;
            const Meshes meshes = mesh_all(cabinet, f, Accuracy::Draft, silent);
            const double air = meshes.air.n_nodes();
            const auto panels = static_cast<double>(meshes.outer.back().faces.size());
            INFO(file << " to " << f << " Hz: shell " << modes.shell_unknowns << " of " << shell << ", air "
                      << sound.air_nodes << " of " << air << ", panels " << sound.panels << " of " << panels);
            CHECK(is_near(modes.shell_unknowns, shell));
            CHECK(is_near(sound.air_nodes, air));
            CHECK(is_near(sound.panels, panels));
        }
}

TEST_CASE("a cube of 3 m to 200 Hz is no giant", "[app][forecast]")
{
    const Cabinet large = cube(3), small = cube(0.4);
    const LargestEdges edges = largest_edges(large, 200);
    // Reference: a tenth of 3 m less the board; bending waves of 38 mm at 200 Hz are 0.8 to 0.9 m long. Tolerance:
    // digits.
    CHECK_THAT(edges.shell, WithinAbs(0.296, 1e-3));
    CHECK(edges.panel > 0.19);
    CHECK(edges.panel < 0.23);
    CHECK_THAT(edges.air, WithinAbs(2.962 / 3, 1e-3));
    CHECK(largest_edges(small, 200).shell == largest_shell_element);
    CHECK(largest_edges(small, 200).panel == largest_panel);
    CHECK(largest_edges(small, 200).air == largest_air_element);
    const Effort effort = effort_of_sound(large, 200, Accuracy::Normal);
    CHECK(effort.bytes < 2e9);
    CHECK(effort.seconds < 60);
    // More to do the higher, the larger, the finer.
    CHECK(effort_of_sound(large, 400, Accuracy::Normal).bytes > effort.bytes);
    CHECK(effort_of_sound(small, 200, Accuracy::Normal).bytes < effort.bytes);
    CHECK(effort_of_modes(large, 200, Accuracy::Draft).seconds < effort_of_modes(large, 200, Accuracy::Fine).seconds);
}

TEST_CASE("long runs are announced, those beyond the memory refused with what would fit", "[app][forecast]")
{
    CHECK(said(50, 8e9).line.empty()); // 15 s, 0.25 GB
    CHECK(said(200, 8e9).line == "stillwall: about 4 min of processor time and 4.0 GB of memory: 4000 unknowns of the "
                                 "boards\n");
    const Said too_much = said(300, 8e9); // 9 GB
    CHECK(too_much.line.empty());
    CHECK(too_much.refusal == "to 300 Hz this needs about 9.0 GB of memory and 8.0 GB are free; --upper 280 fits, "
                              "--accuracy draft needs 4.5 GB");
    CHECK(said(300, 8e9, Accuracy::Normal, false).refusal ==
          "to 300 Hz this needs about 9.0 GB of memory and 8.0 GB are free; --upper 280 fits");
    CHECK_THAT(said(300, 1e7).refusal, Contains("a smaller cabinet or a machine with more memory is needed"));
}

TEST_CASE("many computations take as long as all, and as much memory as those at a time", "[app][forecast]")
{
    const Effort one{.seconds = 2, .bytes = 1e8};
    CHECK(times(one, 10, 3).seconds == 20);
    CHECK(times(one, 10, 3).bytes == 3e8);
    CHECK(times(one, 2, 8).bytes == 2e8);
    CHECK(available_memory() > 1e7);
}
