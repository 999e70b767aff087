#pragma once
// What Gmsh asks while it meshes and what it says. It must be open (GmshSession).

#include <Eigen/Core>

#include <functional>
#include <optional>
#include <string>

namespace stillwall::mesh {

/// Keeps Gmsh's messages while it lives; they would outlast the session.
class GmshLog
{
public:
    GmshLog();
    ~GmshLog();
    GmshLog(const GmshLog&) = delete;
    GmshLog& operator=(const GmshLog&) = delete;
};

/// The first error among the messages kept so far.
[[nodiscard]] std::optional<std::string> first_logged_error();

/// Hands Gmsh the wanted lengths [m] of sides while it lives; they belong to the current model.
class SizeCallback
{
public:
    explicit SizeCallback(std::function<double(const Eigen::Vector3d&)> size_at);
    ~SizeCallback();
    SizeCallback(const SizeCallback&) = delete;
    SizeCallback& operator=(const SizeCallback&) = delete;
};

} // namespace stillwall::mesh
