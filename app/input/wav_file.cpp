#include "app/input/wav_file.h"

#include "mesh/cabinet/error.h"

#include <fmt/format.h>
#include <sndfile.h>

#include <memory>
#include <optional>
#include <vector>

namespace stillwall::app {
namespace {

constexpr double longest = 600; ///< [s]
constexpr int slowest = 2000;   ///< [Hz]
constexpr int most_channels = 16;

bool is_floating(int format)
{
    const int kind = format & SF_FORMAT_SUBMASK;
    return kind == SF_FORMAT_FLOAT || kind == SF_FORMAT_DOUBLE;
}

/// Of whole numbers; nothing: floating point, or a format that loses something.
std::optional<int> bits_of(int format)
{
    switch (format & SF_FORMAT_SUBMASK) {
    case SF_FORMAT_PCM_S8:
    case SF_FORMAT_PCM_U8:
        return 8;
    case SF_FORMAT_PCM_16:
        return 16;
    case SF_FORMAT_PCM_24:
        return 24;
    case SF_FORMAT_PCM_32:
        return 32;
    default:
        return std::nullopt;
    }
}

void check(const SF_INFO& info, const SourcePos& where)
{
    if (info.frames <= 0) throw InputError(where, "", "holds no sound");
    if (info.channels > most_channels)
        throw InputError(where, "", fmt::format("{} channels, at most {} are read", info.channels, most_channels));
    if (info.samplerate < slowest)
        throw InputError(
            where, "",
            fmt::format("{} samples a second are too few, at least {} are needed", info.samplerate, slowest));
    const double seconds = static_cast<double>(info.frames) / info.samplerate;
    if (seconds > longest)
        throw InputError(where, "",
                         fmt::format("{:.0f} s long; cut out the knocks, at most {:.0f} s are read", seconds, longest));
    if (!bits_of(info.format) && !is_floating(info.format))
        throw InputError(where, "", "kept with loss; record as WAV with 16 or 24 bits");
}

} // namespace

ReadRecording read_recording(const std::filesystem::path& file)
{
    const SourcePos where{file.string()};
    std::error_code error;
    if (!std::filesystem::exists(file, error)) throw InputError(where, "", "no such file");
    if (!std::filesystem::is_regular_file(file, error)) throw InputError(where, "", "is not a regular file");
    SF_INFO info{};
    const std::unique_ptr<SNDFILE, int (*)(SNDFILE*)> sound(sf_open(file.c_str(), SFM_READ, &info), sf_close);
    if (!sound) throw InputError(where, "", "is not a sound file that can be read (WAV, AIFF, FLAC)");
    check(info, where);
    std::vector<double> interleaved(static_cast<std::size_t>(info.frames) * static_cast<std::size_t>(info.channels));
    const sf_count_t n = sf_readf_double(sound.get(), interleaved.data(), info.frames);
    if (n <= 0) throw InputError(where, "", "holds no sound");
    const Eigen::Map<const Eigen::MatrixXd> channels(interleaved.data(), info.channels, n);
    if (!channels.allFinite()) throw InputError(where, "", "holds samples that are no numbers");
    Eigen::Index loudest = 0;
    channels.rowwise().squaredNorm().maxCoeff(&loudest);

    ReadRecording read;
    read.recording.name = file.string();
    read.recording.rate_Hz = info.samplerate;
    read.recording.samples = channels.row(loudest);
    read.recording.bits = bits_of(info.format);
    const std::string format =
        read.recording.bits ? fmt::format("{} bits", *read.recording.bits) : std::string("floating point");
    read.understood = fmt::format("{:.2f} s at {} Hz, {}", read.recording.seconds(), info.samplerate, format);
    if (info.channels > 1)
        read.understood += fmt::format("; channel {} of {}, the loudest", loudest + 1, info.channels);
    return read;
}

} // namespace stillwall::app
