#include "app/verbs/common/computation.h"

#include "app/verbs/common/validators.h"

#include <fmt/ostream.h>

#include <map>

namespace stillwall::app {
namespace {

namespace fs = std::filesystem;

std::string cabinet_stem(const fs::path& file)
{
    const std::string stem = file.stem().string();
    const std::string folder = fs::absolute(file).parent_path().filename().string();
    return stem == "cabinet" && !folder.empty() ? folder : stem;
}

} // namespace

fs::path output_folder(const fs::path& out, const fs::path& file)
{
    return out.empty() ? fs::path("stillwall-out") / cabinet_stem(file) : out;
}

void print_warnings(const std::vector<std::string>& notes, const Streams& streams)
{
    for (const std::string& note : notes) fmt::print(streams.err, "warning: {}\n", note);
}

void add_accuracy(CLI::App& verb, Accuracy& accuracy, const std::string& meshes)
{
    const std::map<std::string, Accuracy> words{
        {"draft", Accuracy::Draft}, {"normal", Accuracy::Normal}, {"fine", Accuracy::Fine}};
    verb.add_option("--accuracy", accuracy,
                    "Fineness of " + meshes + ": draft, normal or fine; default " + accuracy_word(accuracy))
        ->transform(one_of(words))
        ->option_text("HOW");
}

} // namespace stillwall::app
