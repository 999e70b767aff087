#include "app/input/cabinet_source.h"

#include "app/input/internal/read_plan.h"
#include "app/input/internal/read_record.h"
#include "app/input/internal/text_file.h"
#include "app/input/internal/wood_note.h"
#include "app/input/internal/yaml_edit.h"
#include "app/input/material_file.h"
#include "mesh/cabinet/fit.h"

namespace stillwall::app {
namespace {

/// Read, ports tuned, and looked over.
CabinetPlan whole_plan(const YamlDocument& document, const MaterialLibrary& library, WorkshopPlan* workshop)
{
    CabinetPlan plan = solver::with_tuned_ports(read_plan(document, library, workshop), read_tunings(document));
    check_whole(plan);
    return plan;
}

} // namespace

struct CabinetSource::Inside
{
    std::string text;
    YamlDocument document;
    std::shared_ptr<const MaterialLibrary> library;
    WorkshopPlan workshop{};
    std::vector<VariantNode> variant_nodes{};
    std::vector<std::string> variant_names{};
    std::vector<ChangeAxis> vary{};
    std::optional<ImproveAsk> improve{};
    std::vector<std::string> notes{};
    BenchRecord record{};

    /// Read, and looked over: what is handed out can be built and computed.
    [[nodiscard]] CabinetPlan plan_of(YamlTree tree) const
    {
        return whole_plan(YamlDocument(document.file(), std::move(tree)), *library, nullptr);
    }
    [[nodiscard]] CabinetPlan read(YamlTree tree) const
    {
        return read_plan(YamlDocument(document.file(), std::move(tree)), *library, nullptr);
    }

    [[nodiscard]] YamlTree changed(const std::vector<Setting>& settings) const
    {
        YamlTree tree = document.tree();
        // What is taken out goes last: other settings may concern it.
        for (const bool is_last : {false, true})
            for (const Setting& s : settings) {
                if (s.takes_out != is_last) continue;
                const EditPath path{s.path, s.where, s.key};
                if (s.takes_out)
                    take_out(tree, path);
                else
                    put(tree, path, {YamlTree::Kind::Scalar, s.where.line, s.where.column, s.text, {}, {}});
            }
        return tree;
    }

    [[nodiscard]] CabinetPlan plan_of(const VariantNode& variant) const
    {
        const YamlDocument changed(document.file(), varied(document.tree(), variant));
        CabinetPlan plan = read_plan(changed, *library, nullptr);
        try {
            plan = solver::with_tuned_ports(std::move(plan), read_tunings(changed));
            check_whole(plan);
            return plan;
        } catch (const InputError& error) { // its place is that of a part, not of the variant
            const std::string told = error.what(), place = InputError(error.where(), "", "").what();
            throw InputError(error.where(), "",
                             told.substr(std::min(told.size(), place.size())) + ", in variant '" + variant.name + "'");
        }
    }
};

CabinetSource::CabinetSource(const std::filesystem::path& file)
    : CabinetSource(load_text(file), file.string(),
                    std::make_shared<const MaterialLibrary>(load_materials(default_materials_dir())))
{
}

CabinetSource::CabinetSource(std::string text, const std::string& file, const MaterialLibrary& library)
    : CabinetSource(std::move(text), file, std::shared_ptr<const MaterialLibrary>(std::shared_ptr<void>(), &library))
{
}

CabinetSource::CabinetSource(std::string text, const std::string& file, std::shared_ptr<const MaterialLibrary> library)
{
    YamlDocument document = parse_yaml(text, file);
    inside_ = std::make_unique<Inside>(Inside{std::move(text), std::move(document), std::move(library)});
    Inside& in = *inside_;
    static_cast<void>(whole_plan(in.document, *in.library, &in.workshop));
    const YamlNode root = in.document.root();
    if (const auto variants = root.find("variants")) in.variant_nodes = read_variants(*variants);
    for (const VariantNode& variant : in.variant_nodes) {
        in.variant_names.push_back(variant.name);
        static_cast<void>(in.plan_of(variant));
    }
    if (const auto vary = root.find("vary")) in.vary = read_vary(*vary);
    if (const auto own = root.find("materials")) in.notes = wood_notes(*own, *in.library);
    if (const auto record = root.find("record")) in.record = read_record(*record);
    if (const auto improve = root.find("improve")) in.improve = read_improve(*improve);
}

CabinetSource::~CabinetSource() = default;
CabinetSource::CabinetSource(CabinetSource&&) noexcept = default;

const std::string& CabinetSource::text() const
{
    return inside_->text;
}
const std::string& CabinetSource::file() const
{
    return inside_->document.file();
}
const std::vector<std::string>& CabinetSource::variants() const
{
    return inside_->variant_names;
}
const std::vector<ChangeAxis>& CabinetSource::vary() const
{
    return inside_->vary;
}
const std::optional<ImproveAsk>& CabinetSource::improve() const
{
    return inside_->improve;
}
const WorkshopPlan& CabinetSource::workshop() const
{
    return inside_->workshop;
}
const BenchRecord& CabinetSource::record() const
{
    return inside_->record;
}
const std::vector<std::string>& CabinetSource::notes() const
{
    return inside_->notes;
}
std::string CabinetSource::scalar_at(const std::string& path) const
{
    return app::scalar_at(inside_->document.tree(), path);
}

CabinetPlan CabinetSource::plan(const std::vector<Setting>& settings) const
{
    return inside_->plan_of(inside_->changed(settings));
}

void CabinetSource::check_settings(const std::vector<Setting>& settings) const
{
    static_cast<void>(inside_->read(inside_->changed(settings)));
}

CabinetPlan CabinetSource::variant(std::size_t index) const
{
    return inside_->plan_of(inside_->variant_nodes.at(index));
}

CabinetPlan CabinetSource::variant_of_text(const std::string& entry) const
{
    const YamlDocument list = parse_yaml("- " + entry + "\n", inside_->document.file());
    return inside_->plan_of(varied(inside_->document.tree(), read_variants(list.root()).front()));
}

} // namespace stillwall::app
