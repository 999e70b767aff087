#pragma once
// Knocks on one board: recordings, or transfer functions made of them.

#include "solver/measured/knock.h"

#include <filesystem>

namespace stillwall::app {

/// What was heard or measured on one board, each with what it was read as.
struct KnockFiles
{
    std::vector<solver::Recording> recordings;
    std::vector<solver::TransferFunction> functions;
    std::vector<std::string> understood;
};

/// Sound files, or universal files (.unv, .uff, .uf58, .58) with transfer functions; not both.
/// @throws InputError
[[nodiscard]] KnockFiles read_knocks(const std::vector<std::filesystem::path>& files);

/// analyse_knocks() or analyse_transfer() with what is wrong with the recordings as a fault of the input.
/// @throws InputError
[[nodiscard]] solver::KnockResult knocks_of(const KnockFiles& files, const solver::KnockSetting& setting);

} // namespace stillwall::app
