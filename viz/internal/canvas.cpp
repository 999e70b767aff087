#include "viz/internal/canvas.h"

#include "viz/internal/whole_file.h"

#include <vtkActor.h>
#include <vtkCamera.h>
#include <vtkCellArray.h>
#include <vtkFloatArray.h>
#include <vtkIdTypeArray.h>
#include <vtkImageData.h>
#include <vtkNew.h>
#include <vtkObjectFactory.h>
#include <vtkPNGWriter.h>
#include <vtkPointData.h>
#include <vtkPolyData.h>
#include <vtkPolyDataMapper.h>
#include <vtkProperty.h>
#include <vtkRenderWindow.h>
#include <vtkRenderer.h>
#include <vtkSmartPointer.h>
#include <vtkTextActor.h>
#include <vtkTextProperty.h>
#include <vtkTextRenderer.h>
#include <vtkUnsignedCharArray.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

namespace stillwall::viz {
namespace {

constexpr int dots_per_inch = 72; // VTK's points are then pixels
// Edges are smoothed by drawing at twice the size and averaging 2 × 2 pixels: on a software driver this takes
// half the time of the driver's own four samples, and every driver can do it.
constexpr int oversampling = 2;

void apply(const TextStyle& style, vtkTextProperty* property)
{
    property->SetFontFamilyToArial();
    property->SetFontSize(oversampling * style.size_px);
    property->SetBold(style.is_bold ? 1 : 0);
    property->SetColor(style.colour[0] / 255.0, style.colour[1] / 255.0, style.colour[2] / 255.0);
    property->SetBackgroundColor(1, 1, 1);
    property->SetBackgroundOpacity(style.has_backing ? 0.72 : 0);
}

/// Mean of each 2 × 2 block of a picture of twice the size.
Image averaged(const std::uint8_t* pixels, int width_px, int height_px)
{
    static_assert(oversampling == 2);
    Image image(width_px, height_px);
    const std::ptrdiff_t row_bytes = 2 * static_cast<std::ptrdiff_t>(width_px) * 3;
    std::uint8_t* out = image.rgb.data();
    for (int y = 0; y < height_px; ++y) {
        const std::uint8_t* lower = pixels + 2 * y * row_bytes;
        const std::uint8_t* upper = lower + row_bytes;
        for (int x = 0; x < width_px; ++x, lower += 6, upper += 6, out += 3)
            for (int c = 0; c < 3; ++c)
                out[c] = static_cast<std::uint8_t>((lower[c] + lower[c + 3] + upper[c] + upper[c + 3] + 2) / 4);
    }
    return image;
}

} // namespace

Image::Image(int width_px, int height_px)
    : width(width_px), height(height_px),
      rgb(static_cast<std::size_t>(width_px) * static_cast<std::size_t>(height_px) * 3, 255)
{
}

void Image::paste(const Image& part, int left, int bottom)
{
    for (int row = 0; row < part.height; ++row) {
        const auto from = part.rgb.begin() + static_cast<std::ptrdiff_t>(row) * part.width * 3;
        std::copy(from, from + static_cast<std::ptrdiff_t>(part.width) * 3,
                  rgb.begin() + (static_cast<std::ptrdiff_t>(bottom + row) * width + left) * 3);
    }
}

struct Canvas::Parts
{
    vtkNew<vtkRenderWindow> window;
    vtkNew<vtkRenderer> renderer;
    vtkNew<vtkActor> actor;
    vtkNew<vtkPolyDataMapper> mapper;
    std::vector<vtkSmartPointer<vtkTextActor>> texts;
    std::map<std::tuple<std::string, int, bool>, double> widths;

    void load_triangles(const Drawing& drawing);
    void load_texts(const Drawing& drawing);
};

void Canvas::Parts::load_triangles(const Drawing& drawing)
{
    const auto n_points = static_cast<vtkIdType>(drawing.points.size() / 3);
    const auto n_triangles = static_cast<vtkIdType>(drawing.triangles.size() / 3);
    vtkNew<vtkFloatArray> coordinates;
    coordinates->SetNumberOfComponents(3);
    coordinates->SetNumberOfTuples(n_points);
    std::copy(drawing.points.begin(), drawing.points.end(), coordinates->GetPointer(0));
    vtkNew<vtkPoints> points;
    points->SetData(coordinates);

    vtkNew<vtkUnsignedCharArray> colours;
    colours->SetNumberOfComponents(3);
    colours->SetNumberOfTuples(n_points);
    std::copy(drawing.colours.begin(), drawing.colours.end(), colours->GetPointer(0));

    vtkNew<vtkIdTypeArray> connectivity;
    connectivity->SetNumberOfValues(3 * n_triangles);
    std::copy(drawing.triangles.begin(), drawing.triangles.end(), connectivity->GetPointer(0));
    vtkNew<vtkCellArray> cells;
    cells->SetData(3, connectivity);

    vtkNew<vtkPolyData> data;
    data->SetPoints(points);
    data->SetPolys(cells);
    data->GetPointData()->SetScalars(colours);
    mapper->SetInputData(data);
}

void Canvas::Parts::load_texts(const Drawing& drawing)
{
    while (texts.size() < drawing.texts.size()) {
        texts.push_back(vtkSmartPointer<vtkTextActor>::New());
        renderer->AddActor2D(texts.back());
    }
    for (std::size_t i = 0; i < texts.size(); ++i) {
        const bool is_used = i < drawing.texts.size() && !drawing.texts[i].text.empty();
        texts[i]->SetVisibility(is_used ? 1 : 0);
        if (!is_used) continue;
        const Text& text = drawing.texts[i];
        vtkTextProperty* property = texts[i]->GetTextProperty();
        apply(text.style, property);
        property->SetJustification(text.align == Text::Align::Left     ? VTK_TEXT_LEFT
                                   : text.align == Text::Align::Centre ? VTK_TEXT_CENTERED
                                                                       : VTK_TEXT_RIGHT);
        property->SetVerticalJustificationToCentered();
        texts[i]->SetInput(text.text.c_str());
        texts[i]->SetDisplayPosition(static_cast<int>(std::lround(oversampling * text.x)),
                                     static_cast<int>(std::lround(oversampling * text.y)));
    }
}

Canvas::Canvas() : parts_(std::make_unique<Parts>())
{
    vtkObject::GlobalWarningDisplayOff();
    Parts& p = *parts_;
    p.window->SetOffScreenRendering(1);
    p.window->SetMultiSamples(0);
    p.window->SetDPI(dots_per_inch);
    p.window->AddRenderer(p.renderer);
    p.renderer->SetBackground(1, 1, 1);
    // Colours come finished with the points; light would change them a second time.
    p.actor->GetProperty()->LightingOff();
    p.actor->SetMapper(p.mapper);
    p.renderer->AddActor(p.actor);
    p.renderer->GetActiveCamera()->ParallelProjectionOn();
}

Canvas::~Canvas() = default;

Image Canvas::render(const Drawing& drawing, int width_px, int height_px)
{
    Parts& p = *parts_;
    const int width = oversampling * width_px, height = oversampling * height_px;
    p.window->SetSize(width, height);
    p.load_triangles(drawing);
    p.load_texts(drawing);

    // One unit is one pixel: the camera stands over the middle of the page.
    constexpr double reach = 6000; // [px] nearer and farther than anything drawn
    vtkCamera* camera = p.renderer->GetActiveCamera();
    camera->SetFocalPoint(width_px / 2.0, height_px / 2.0, 0);
    camera->SetPosition(width_px / 2.0, height_px / 2.0, reach);
    camera->SetViewUp(0, 1, 0);
    camera->SetParallelScale(height_px / 2.0);
    camera->SetClippingRange(1, 2 * reach);
    p.window->Render();

    vtkNew<vtkUnsignedCharArray> pixels;
    p.window->GetPixelData(0, 0, width - 1, height - 1, 0, pixels);
    if (pixels->GetNumberOfValues() != static_cast<vtkIdType>(width) * height * 3)
        throw RenderError("the graphics driver returned a picture of the wrong size");
    return averaged(pixels->GetPointer(0), width_px, height_px);
}

double Canvas::text_width(const std::string& text, const TextStyle& style)
{
    const auto key = std::tuple(text, style.size_px, style.is_bold);
    if (const auto known = parts_->widths.find(key); known != parts_->widths.end()) return known->second;
    vtkNew<vtkTextProperty> property;
    apply(style, property);
    std::array<int, 4> box{}; // x from, to, y from, to
    vtkTextRenderer::GetInstance()->GetBoundingBox(property, text, box.data(), dots_per_inch);
    const double width = static_cast<double>(box[1] - box[0] + 1) / oversampling;
    parts_->widths.emplace(key, width);
    return width;
}

void write_png(const Image& image, const std::filesystem::path& file)
{
    vtkNew<vtkImageData> data;
    data->SetDimensions(image.width, image.height, 1);
    data->AllocateScalars(VTK_UNSIGNED_CHAR, 3);
    std::copy(image.rgb.begin(), image.rgb.end(), static_cast<std::uint8_t*>(data->GetScalarPointer()));
    vtkNew<vtkPNGWriter> writer;
    writer->SetInputData(data);
    constexpr int fast_and_small_enough = 4; // of 9
    writer->SetCompressionLevel(fast_and_small_enough);
    write_whole_file(file, [&](const std::string& name) {
        writer->SetFileName(name.c_str());
        writer->Write();
        return writer->GetErrorCode() == 0;
    });
}

} // namespace stillwall::viz
