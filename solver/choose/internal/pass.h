#pragma once
// The parts of what goes between processes, named once for both ways (archive.h).

#include "solver/choose/aim.h"
#include "solver/choose/archive.h"
#include "solver/choose/ideas.h"

namespace stillwall::solver {

template <class Archive> void pass(Archive& archive, typename Archive::template Ref<Resonance> r)
{
    archive(r.kind, r.name, r.part, r.f_Hz, r.band, r.Q, r.worst);
}

template <class Archive> void pass(Archive& archive, typename Archive::template Ref<SchemeMode> mode)
{
    typename Archive::template Ref<Resonance> resonance = mode;
    pass(archive, resonance);
    archive(mode.coupling, mode.is_board);
}

template <class Archive> void pass(Archive& archive, typename Archive::template Ref<Signature> signature)
{
    Eigen::Index rows = signature.samples.rows(), columns = signature.samples.cols();
    archive(signature.boards, rows, columns);
    std::vector<float> samples(signature.samples.data(), signature.samples.data() + signature.samples.size());
    archive(samples);
    if constexpr (!std::is_same_v<Archive, Packer>) {
        if (static_cast<Eigen::Index>(samples.size()) != rows * columns)
            throw Error("a process sent less than it should");
        signature.samples = Eigen::Map<const Eigen::MatrixXf>(samples.data(), rows, columns);
    }
}

template <class Archive> void pass(Archive& archive, typename Archive::template Ref<SchemeFigures> f)
{
    archive(f.is_played, f.modes, f.signature, f.first, f.loudest, f.worst, f.n_audible, f.n_borderline, f.n_air_heard);
    archive(f.tuning_Hz, f.mass, f.board_mass, f.net_volume, f.board_area);
}

template <class Archive> void pass(Archive& archive, typename Archive::template Ref<ComputedScheme> scheme)
{
    archive(scheme.figures, scheme.frequency, scheme.walls_dB, scheme.impedance, scheme.price, scheme.n_cuts);
    archive(scheme.seconds, scheme.warnings);
}

template <class Archive> void pass(Archive& archive, typename Archive::template Ref<Tried> t)
{
    archive(t.values, t.is_played, t.first, t.loudest, t.over_dB, t.n_audible, t.n_borderline);
    archive(t.mass, t.net_volume, t.price, t.is_within);
}

template <class Archive> void pass(Archive& archive, typename Archive::template Ref<Idea> idea)
{
    archive(idea.words, idea.entry, idea.promise_dB);
}

} // namespace stillwall::solver
