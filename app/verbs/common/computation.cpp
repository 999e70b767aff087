#include "app/verbs/common/computation.h"

#include "app/verbs/common/validators.h"
#include "app/workers/scheme_job.h"
#include "app/write/advice_report.h"
#include "app/write/cabinet_report.h"
#include "app/write/files.h"
#include "app/write/record_report.h"
#include "mesh/cabinet/build.h"

#include <fmt/ostream.h>

#include <algorithm>
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

std::string give_advice(const CabinetSource& source, const CabinetPlan& plan, const solver::AdviceTask& task,
                        const fs::path& json, const std::string& document, Progress& progress, const Streams& streams)
{
    const solver::Advice advice =
        solver::advise(source, plan, task, scheme_computer(),
                       [&](const std::string& step, double fraction) { progress.show(step, fraction); });
    progress.clear();
    streams.out << advice_text(advice) << std::flush;
    if (document.empty()) return {};
    std::string with_advice = with_key(document, "advice", advice_json(advice));
    if (!json.empty()) write_whole_file(json, with_advice);
    return with_advice;
}

void add_report_option(CLI::App& verb, fs::path& report)
{
    verb.add_option("--report", report, "Write one page that shows it all, for any browser (HTML)")
        ->option_text("FILE");
}

std::string check_document(const CabinetReport& report, const BenchRecord& record)
{
    const std::string document = check_json(report);
    return record.empty() ? document : with_key(document, "record", record_json(record));
}

PageRun cabinet_run(const CabinetReport& report, const BenchRecord& record)
{
    return {.verb = "check", .result = check_document(report, record)};
}

PageRun cabinet_run(const CabinetSource& source)
{
    const CabinetPlan plan = source.plan();
    const Cabinet cabinet = build_cabinet(plan);
    return cabinet_run({cabinet, bookkeeping(cabinet), outer_size(plan)}, source.record());
}

void finish_page(const fs::path& file, const std::string& title, const PageRuns& runs, const Streams& streams)
{
    write_page(file, title, runs);
    fmt::print(streams.out, "\n  Page    {}: opens in any browser\n", file.string());
}

void finish_page(const fs::path& file, const Cabinet& cabinet, const PageRuns& runs, const Streams& streams)
{
    finish_page(file, cabinet_title(cabinet), runs, streams);
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
