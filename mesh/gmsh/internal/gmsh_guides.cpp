#include "mesh/gmsh/internal/gmsh_guides.h"

#include <gmsh.h>

#include <utility>
#include <vector>

namespace stillwall::mesh {

GmshLog::GmshLog()
{
    gmsh::logger::start();
}

GmshLog::~GmshLog()
{
    try {
        gmsh::logger::stop();
    } catch (...) { // nothing was being kept
    }
}

std::optional<std::string> first_logged_error()
{
    std::vector<std::string> log;
    gmsh::logger::get(log);
    for (std::string& line : log)
        if (line.rfind("Error", 0) == 0) return std::move(line);
    return std::nullopt;
}

SizeCallback::SizeCallback(std::function<double(const Eigen::Vector3d&)> size_at)
{
    gmsh::model::mesh::setSizeCallback([size_at = std::move(size_at)](int, int, double x, double y, double z) {
        return size_at({x, y, z});
    });
}

SizeCallback::~SizeCallback()
{
    try {
        gmsh::model::mesh::removeSizeCallback();
    } catch (...) { // the model is gone, and the callback with it
    }
}

} // namespace stillwall::mesh
