// Any bytes at all: columns of text and universal files are read, or refused with an InputError of one line. A sweep
// that is read rises in frequency and is finite; it is then searched, or refused with a DomainError. Driver as of
// fuzz_cabinet.

#include "app/input/dataset58_file.h"
#include "app/input/sweep_file.h"
#include "mesh/cabinet/error.h"
#include "solver/measured/features.h"
#include "tests/fuzz/fuzz_check.h"

#include <cstdint>

using namespace stillwall;
using fuzz::check_message;
using fuzz::require;

namespace {

void check_sweep(const solver::Sweep& sweep)
{
    require(sweep.Z.size() == static_cast<Eigen::Index>(sweep.f_Hz.size()), "as many values as frequencies");
    require(sweep.Z.allFinite(), "impedance is finite");
    for (std::size_t i = 1; i < sweep.f_Hz.size(); ++i) require(sweep.f_Hz[i] > sweep.f_Hz[i - 1], "frequencies rise");
    require(sweep.f_Hz.front() > 0, "frequencies are above zero");
    if (sweep.f_Hz.size() > 60) return; // the search takes long; short sweeps have all its corners
    try {
        for (const solver::Feature& f : solver::find_features(sweep).features)
            require(f.f_Hz.value > 0 && f.Q.value > 0 && f.ohm.value >= 0, "figures of a wrinkle");
    } catch (const DomainError& error) {
        require(std::string(error.what()).find('\n') == std::string::npos, "message is one line");
    }
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    try {
        check_sweep(app::parse_sweep(text, "fuzz.yaml").sweep);
    } catch (const InputError& error) {
        check_message(error.what());
    }
    try {
        for (const solver::TransferFunction& t : app::parse_dataset58(text, "fuzz.yaml").functions)
            require(t.H.allFinite() && t.f_step > 0, "transfer function is finite");
    } catch (const InputError& error) {
        check_message(error.what());
    }
    return 0;
}
