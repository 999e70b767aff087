#include "app/input/knock_files.h"

#include "app/input/dataset58_file.h"
#include "app/input/wav_file.h"
#include "mesh/cabinet/error.h"

namespace stillwall::app {

KnockFiles read_knocks(const std::vector<std::filesystem::path>& files)
{
    KnockFiles read;
    for (const std::filesystem::path& file : files) {
        const std::string extension = file.extension().string();
        const bool is_universal =
            extension == ".unv" || extension == ".uff" || extension == ".uf58" || extension == ".58";
        if (is_universal) {
            ReadTransfer transfer = read_dataset58(file);
            read.understood.push_back(file.string() + ": " + transfer.understood);
            for (solver::TransferFunction& function : transfer.functions) read.functions.push_back(std::move(function));
        } else {
            ReadRecording recording = read_recording(file);
            read.understood.push_back(file.string() + ": " + recording.understood);
            read.recordings.push_back(std::move(recording.recording));
        }
    }
    if (!read.recordings.empty() && !read.functions.empty())
        throw InputError({}, "",
                         "recordings and transfer functions of one board are not mixed; give the one or the other");
    return read;
}

solver::KnockResult knocks_of(const KnockFiles& files, const solver::KnockSetting& setting)
{
    try {
        return files.functions.empty() ? solver::analyse_knocks(files.recordings, setting)
                                       : solver::analyse_transfer(files.functions, setting);
    } catch (const DomainError& error) { // recordings are input: what is wrong with them is the user's to mend
        throw InputError({}, "", error.what());
    }
}

} // namespace stillwall::app
