#include "tests/viz/image_compare.h"

#include <vtkImageData.h>
#include <vtkNew.h>
#include <vtkPNGReader.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>

namespace stillwall::viz::test {
namespace {

// Tolerance: on one machine the same picture comes out bit for bit (both 0). Another version of the software
// driver may round edges and type differently: that touches single pixels along lines, far below these.
// Against them, a mode of another shape measures a mean of 14, a missing name a block of 34
// (picture_test.cpp checks that both are caught).
constexpr double largest_mean = 1.0, largest_block = 20.0;

} // namespace

std::array<int, 3> Png::at(int x, int y) const
{
    const auto first =
        (static_cast<std::size_t>(y) * static_cast<std::size_t>(width) + static_cast<std::size_t>(x)) * 3;
    return {rgb.at(first), rgb.at(first + 1), rgb.at(first + 2)};
}

Png read_png(const std::filesystem::path& file)
{
    Png png;
    if (!std::filesystem::exists(file)) return png;
    vtkNew<vtkPNGReader> reader;
    reader->SetFileName(file.c_str());
    reader->Update();
    vtkImageData* image = reader->GetOutput();
    if (image->GetNumberOfScalarComponents() != 3) return png;
    png.width = image->GetDimensions()[0];
    png.height = image->GetDimensions()[1];
    const auto* first = static_cast<const std::uint8_t*>(image->GetScalarPointer());
    png.rgb.assign(first, first + static_cast<std::ptrdiff_t>(png.width) * png.height * 3);
    return png;
}

ImageDifference difference(const Png& a, const Png& b)
{
    constexpr int block = 16;
    ImageDifference result;
    double total = 0;
    for (int y0 = 0; y0 < a.height; y0 += block)
        for (int x0 = 0; x0 < a.width; x0 += block) {
            double sum = 0;
            int n = 0;
            for (int y = y0; y < std::min(y0 + block, a.height); ++y)
                for (int x = x0; x < std::min(x0 + block, a.width); ++x)
                    for (std::size_t c = 0; c < 3; ++c, ++n) sum += std::abs(a.at(x, y)[c] - b.at(x, y)[c]);
            total += sum;
            result.worst_block = std::max(result.worst_block, sum / n);
        }
    result.mean = total / static_cast<double>(a.rgb.size());
    return result;
}

std::string compare_with_baseline(const std::filesystem::path& actual, const std::filesystem::path& baseline)
{
    const std::string both = "\n  actual:   " + actual.string() + "\n  baseline: " + baseline.string();
    const Png drawn = read_png(actual), stored = read_png(baseline);
    if (drawn.rgb.empty()) return "no picture was drawn" + both;
    if (stored.rgb.empty()) return "the baseline is missing; if the picture is right, copy it there" + both;
    if (drawn.width != stored.width || drawn.height != stored.height) return "the sizes differ" + both;
    const ImageDifference found = difference(drawn, stored);
    if (found.mean <= largest_mean && found.worst_block <= largest_block) return {};
    return "the pictures differ: mean " + std::to_string(found.mean) + ", worst block " +
           std::to_string(found.worst_block) + both;
}

} // namespace stillwall::viz::test
