#include "app/workers/scene.h"

namespace stillwall::app {

viz::Scene scene_of(const Cabinet& cabinet, const ShellMesh& mesh)
{
    viz::Scene scene;
    scene.mesh = &mesh;
    for (const Board& board : cabinet.boards) {
        scene.board_names.push_back(board.name);
        scene.board_is_brace.push_back(board.kind == Board::Kind::Brace);
    }
    for (const Rod& rod : cabinet.rods) scene.rods.push_back({rod.from, rod.to});
    return scene;
}

} // namespace stillwall::app
