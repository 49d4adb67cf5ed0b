-- Neovim, driven headless, with `glost script lsp`: what a person would see in it. Run by
-- tests/editors/run, in a copy of the example studio.

local glost = assert(os.getenv("GLOST"), "GLOST names the binary")

local function fail(why)
  io.stderr:write("neovim: " .. why .. "\n")
  vim.cmd("cquit 1")
end

local function check(holds, why)
  if not holds then fail(why) end
end

local function begins(name, text)
  vim.fn.mkdir(vim.fn.fnamemodify(name, ":h"), "p")
  vim.fn.writefile(vim.split(text, "\n"), name)
  vim.cmd("edit " .. name)
  return vim.api.nvim_get_current_buf()
end

local client = vim.lsp.start_client({ name = "glost", cmd = { glost, "script", "lsp" }, root_dir = vim.fn.getcwd() })
check(client, "the server doesn't start")

local function attached(buffer)
  check(vim.lsp.buf_attach_client(buffer, client), "no client in the buffer")
end

local function complaints(buffer, count)
  local there = vim.wait(20000, function() return #vim.diagnostic.get(buffer) == count end, 20)
  check(there, count .. " complaints expected, seen: " .. vim.inspect(vim.diagnostic.get(buffer)))
  return vim.diagnostic.get(buffer)
end

local function ask(buffer, method, line, column)
  local place = {
    textDocument = { uri = vim.uri_from_bufnr(buffer) },
    position = { line = line, character = column },
  }
  local answers = vim.lsp.buf_request_sync(buffer, "textDocument/" .. method, place, 20000)
  local answer = answers and answers[client]
  check(answer and answer.result, method .. " has no answer: " .. vim.inspect(answers))
  return answer.result
end

-- A script with a slip: it is shown where it stands, and goes once it is mended.
local script = begins("scripts/check/own.rhai", table.concat({
  'const ABOUT = #{ api: 1, kind: "check", title: "Own", source: "own" };',
  "fn check(glaze, option) {",
  '    if glaze.unity.SiO2 < 2 { glaze.cautoin("SiO2", "low"); }',
  "}",
}, "\n"))
attached(script)
local slip = complaints(script, 1)[1]
check(slip.lnum == 2 and slip.col == 36, "the slip stands elsewhere: " .. vim.inspect(slip))
vim.api.nvim_buf_set_text(script, 2, 36, 2, 43, { "caution" })
complaints(script, 0)

local labels = {}
for _, item in ipairs(ask(script, "completion", 2, 13)) do labels[item.label] = true end
check(labels.unity and labels.caution, "glaze. offers no unity")
local told = ask(script, "hover", 2, 15)
check(string.find(told.contents.value, "unity formula", 1, true), "hover says: " .. told.contents.value)

-- A recipe: a misspelt material, and the way to the sheet of another.
local glaze = begins("glazes/own.yaml", "glaze: own\nparts: { whitting: 3, feldspar A: 40 }")
attached(glaze)
check(complaints(glaze, 1)[1].lnum == 1, "the misspelt material stands elsewhere")
local sheet = ask(glaze, "definition", 1, 25)
check(string.find(sheet.uri, "materials/feldspars.yaml", 1, true), "its sheet is " .. vim.inspect(sheet))

vim.lsp.stop_client(client)
check(vim.wait(20000, function() return vim.lsp.client_is_stopped(client) end, 20), "the server doesn't end")
print("neovim: complaints, completion, hover, definition hold")
vim.cmd("quitall!")
