#pragma once
// What can go wrong, by who has to act. Every message is one line: what was wanted, what came, unit.

#include <stdexcept>
#include <string>
#include <string_view>

namespace stillwall {

/// A place in an input file. Line and column count from 1; 0 means "unknown".
struct SourcePos
{
    std::string file;
    int line = 0;
    int column = 0;
};

/// Base of all errors this program reports on purpose.
class Error : public std::runtime_error
{
public:
    using std::runtime_error::runtime_error;
};

/// Input the user must correct. what() is one line an editor can jump to, e.g.
///     box.yaml:3:19: boards.front.thickness: must lie between 1 mm and 200 mm, got -3 mm
class InputError : public Error
{
public:
    /// @param where    position; parts that are 0 or empty are left out of the message
    /// @param key      dotted path of the key, may be empty
    /// @param problem  the problem and, after a comma or semicolon, the hint
    InputError(SourcePos where, std::string_view key, std::string_view problem);
    [[nodiscard]] const SourcePos& where() const noexcept { return where_; }

private:
    SourcePos where_;
};

/// A parameter of a function lies outside its documented range.
class DomainError : public Error
{
public:
    using Error::Error;
};

/// The geometry could not be meshed.
class MeshError : public Error
{
public:
    using Error::Error;
};

/// A factorisation or an eigenvalue iteration failed.
class SolverError : public Error
{
public:
    using Error::Error;
};

/// A picture could not be drawn or a viewer file not written.
class RenderError : public Error
{
public:
    using Error::Error;
};

} // namespace stillwall
