#pragma once
// Runs the program inside a test.

#include "app/run.h"

#include <sstream>
#include <string>
#include <vector>

struct Outcome
{
    int code = -1;
    std::string out, err;
};

inline Outcome stillwall_with(std::vector<std::string> words)
{
    std::vector<const char*> argv{"stillwall"};
    for (const std::string& word : words) argv.push_back(word.c_str());
    std::ostringstream out, err;
    const int code = stillwall::app::run(static_cast<int>(argv.size()), argv.data(), {out, err});
    return {code, out.str(), err.str()};
}
