#include "app/write/cabinet_report.h"

#include "app/version.h"
#include "app/write/cabinet_json.h"
#include "app/write/internal/cabinet_attached.h"
#include "app/write/internal/cabinet_chambers.h"
#include "app/write/materials_json.h"
#include "app/write/openings.h"
#include "mesh/cabinet/opening.h"
#include "mesh/cabinet/units.h"

#include <nlohmann/json.hpp>

namespace stillwall::app {
namespace {

using Json = nlohmann::ordered_json;

Json parts_array(const CabinetReport& report)
{
    Json list = Json::array();
    for (const PartLine& part : report.books.parts)
        list.push_back({{"name", part.name},
                        {"material", part.material},
                        {"length_mm", part.length / units::mm},
                        {"width_mm", part.width / units::mm},
                        {"thickness_mm", part.thickness / units::mm},
                        {"face_area_m2", part.area},
                        {"mass_kg", part.mass}});
    return list;
}

Json openings_array(const CabinetReport& report)
{
    Json list = Json::array();
    for (const Board& board : report.cabinet.boards)
        for (const Opening& opening : board.openings)
            list.push_back({{"name", opening.name},
                            {"board", board.name},
                            {"size", opening_size(opening)},
                            {"width_mm", opening.width / units::mm},
                            {"height_mm", opening.height / units::mm},
                            {"area_m2", opening_area(opening)},
                            {"holds", insert_word(opening.insert.kind)},
                            {"fitting", opening.insert.name},
                            {"fitting_mass_kg", opening.insert.mass}});
    return list;
}

Json cabinet_object(const CabinetReport& report)
{
    const auto& [cabinet, books, outer_size] = report;
    return {{"name", cabinet.name},
            {"file", cabinet.file},
            {"outer_width_mm", outer_size.x() / units::mm},
            {"outer_depth_mm", outer_size.y() / units::mm},
            {"outer_height_mm", outer_size.z() / units::mm},
            {"boards", cabinet.boards.size()},
            {"mass_kg", books.mass},
            {"boards_mass_kg", books.board_mass},
            {"rods_and_ribs_mass_kg", bar_mass(books)},
            {"layers_mass_kg", books.layer_mass},
            {"fittings_mass_kg", books.insert_mass},
            {"gross_volume_l", books.gross_volume_m3 / units::litre},
            {"net_volume_l", books.net_volume_m3 / units::litre}};
}

} // namespace

Json document_head()
{
    return {{"program", "stillwall"}, {"version", program_version}, {"format", 1}};
}

Json document_about(const CabinetReport& report)
{
    Json document = document_head();
    document["cabinet"] = cabinet_object(report);
    return document;
}

std::string check_json(const CabinetReport& report)
{
    Json document = document_about(report);
    document["parts"] = parts_array(report);
    document["openings"] = openings_array(report);
    document["chambers"] = chambers_json(report);
    add_attached(report, document);
    document["materials"] = materials_json(report.cabinet);
    return document.dump(2) + '\n';
}

} // namespace stillwall::app
